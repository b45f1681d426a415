"""Brings the one third-party script of the web app into the package when it is built: out of a wheel, hash checked.

The repository holds what this project wrote; the file is git-ignored and travels in the built package.
"""

import hashlib
from importlib import metadata
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

PACKAGE, INSIDE = "django-htmx", "django_htmx/static/django_htmx/htmx-2.min.js"
TARGET = "src/millhand/web/static/vendor/htmx.min.js"
SHA256 = "71ea67185bfa8c98c39d31717c6fce5d852370fcdfd129db4543774d3145c0de"


class Assets(BuildHookInterface):  # type: ignore[type-arg, misc]
    """The step of the build that copies the script."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Copy the script, or stop the build where it is not the file that was looked at."""
        script = Path(str(metadata.distribution(PACKAGE).locate_file(INSIDE))).read_bytes()
        found = hashlib.sha256(script).hexdigest()
        if found != SHA256:
            raise RuntimeError(f"{PACKAGE} holds another {INSIDE} than expected: sha256 {found}, not {SHA256}")
        target = Path(self.root, TARGET)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(script)
