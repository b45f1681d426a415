"""What a shop adds to the catalogue: files of components, files of links and joints, and arms as URDF."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from pathlib import Path

from millhand.catalogue.arms import COLUMNS as LINK_COLUMNS
from millhand.catalogue.arms import arms
from millhand.catalogue.table import cells, text_of
from millhand.catalogue.urdf import urdf_arm
from millhand.errors import InputError, InputErrors
from millhand.model.arm import Linkage
from millhand.model.concept import Component

NEAR = 0.2  # a data sheet states the reach to the wrist or to the flange: so far the two may lie apart
HEADING = ",".join(LINK_COLUMNS)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnFiles:
    """The files that were named, by what is in them."""

    components: tuple[Path, ...] = ()
    links: tuple[Path, ...] = ()
    urdf: tuple[Path, ...] = ()


def own_files(paths: Sequence[Path]) -> OwnFiles:
    """The files by their ending and their heading; one whose heading is neither is read as components, and refused."""
    urdf = tuple(path for path in paths if path.suffix.lower() in (".urdf", ".xml"))
    tables = [path for path in paths if path not in urdf]
    links = tuple(path for path in tables if is_links(path))
    return OwnFiles(components=tuple(path for path in tables if path not in links), links=links, urdf=urdf)


def is_links(path: Path) -> bool:
    """Whether the heading of a table names links and joints."""
    lines = text_of(path).splitlines()
    return bool(lines) and {"arm", "joint"} <= {text for _, text in cells(lines[0])}


def own_arms(own: OwnFiles, errors: list[InputError], *, ramp_s: float) -> dict[str, Linkage]:
    """The arms of the shop's own tables and URDF files, by their ids."""
    found = arms(errors, own.links)
    for path in own.urdf:
        try:
            arm = urdf_arm(path, ramp_s=ramp_s)
        except InputErrors as caught:
            errors.extend(caught.errors)
        else:
            found[arm.id] = arm
    return found


def unlinked(
    components: Mapping[str, Component], linkages: Mapping[str, Linkage], new: Mapping[str, str]
) -> Iterator[InputError]:
    """Own arms that lack their links, own links that no arm has, and links that do not reach as far as the arm says.

    new: the arms that the shop's own files bring or change, each with the place where it is told.
    """
    for name, where in new.items():
        component, linkage = components.get(name), linkages.get(name)
        if component is None or component.kind != "arm":
            write = f"rows for {name} of the kind arm in a file of components"
            yield InputError(where, name, write, "no_component")
        elif linkage is None:
            write = f"the links and joints of {name} in a further file: its URDF, or a table with the heading {HEADING}"
            yield InputError(where, name, write, "no_links")
        elif "reach_m" in component.figures:
            yield from short_of(component, linkage, where)


def short_of(component: Component, linkage: Linkage, where: str) -> Iterator[InputError]:
    """Links whose reach and the arm's reach_m lie further apart than wrist and flange do."""
    links_m, told_m = reach_of(linkage), component.figures["reach_m"].value
    if links_m and abs(links_m - told_m) > NEAR * told_m:
        write = f"lengths in metres that fit: the links of {component.id} reach {links_m:.3g} m, its reach_m is"
        yield InputError(where, f"{told_m:g}", f"{write} {told_m:g} m", "reach")


def reach_of(arm: Linkage) -> float | None:
    """How far the wrist comes from the first axis, stretched out; None of an arm that slides there."""
    if arm.family == "gantry":
        return None
    first, second, third, fourth = arm.joints[:4]
    if arm.family == "scara":
        return abs(first.a_m) + abs(second.a_m)
    if arm.family == "parallel_axes":
        return abs(second.a_m) + abs(third.a_m) + abs(arm.joints[4].d_m)
    return abs(first.a_m) + abs(second.a_m) + hypot(third.a_m, fourth.d_m)
