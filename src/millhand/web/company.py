"""Whose paper proposals are written on: the details kept for the desk, and those of an inquiry, which go first."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from millhand.errors import InputError, InputErrors
from millhand.intake.company import LOGO_MB, read_company
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_tree import Listing, Scalar, tree_of
from millhand.model.company import Company
from millhand.store.companies import Details
from millhand.web.folders import Reader, as_folder
from millhand.web.worker import COMPANY

LOGO = "company_logo"  # its file beside the company file, with the ending of its kind
LINE, LINES, WORDS = "line", "lines", "words"


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """One entry of the form: its key in the company file, what it is, how long it gets, and an example."""

    key: str
    label: str
    kind: str
    hint: str = ""


DETAILS = (
    Detail(key="name", label="Name of the company", kind=LINE),
    Detail(key="address", label="Address, line by line", kind=LINES),
    Detail(key="contact", label="Contact, line by line", kind=LINES),
    Detail(key="number_prefix", label="Numbers of proposals begin with", kind=LINE, hint="P-"),
    Detail(key="prices", label="Prices as of", kind=LINE, hint="January 2027"),
    Detail(key="valid_days", label="Valid for so many days", kind=LINE, hint="60"),
    Detail(key="delivery", label="On delivery", kind=WORDS),
    Detail(key="milestones", label="On payment, by milestones", kind=WORDS),
    Detail(key="warranty", label="On warranty", kind=WORDS),
    Detail(key="service", label="On service", kind=WORDS),
    Detail(key="closing", label="A last sentence", kind=WORDS),
)
KEYS = frozenset(each.key for each in DETAILS)


def text_of(typed: Mapping[str, str]) -> str:
    """What was typed as a company file, a line for each key."""
    lines = []
    for each in DETAILS:
        text = typed.get(each.key, "").replace("\r\n", "\n").strip()
        if text and each.kind == LINES:
            lines.append(f"{each.key}: [{', '.join(quoted(one.strip()) for one in text.splitlines() if one.strip())}]")
        elif text:
            lines.append(f"{each.key}: {quoted(text)}")
    return "".join(f"{line}\n" for line in lines)


def typed_in(text: str) -> dict[str, str]:
    """The entries of a company file that this desk wrote, as they stand in the form."""
    found = {}
    for key, node in tree_of((text or "{}").encode("utf-8"), COMPANY).entries.items():
        if isinstance(node, Scalar):
            found[key] = node.text
        elif isinstance(node, Listing):
            found[key] = "\n".join(each.text for each in node.items if isinstance(each, Scalar))
    return found


def files_of_company(kept: Details) -> dict[str, bytes]:
    """The details as files beside an inquiry; none where nobody gave any."""
    if not kept.number:
        return {}
    if not kept.logo:
        return {COMPANY: kept.text.encode("utf-8")}
    logo = f"{LOGO}.{kept.form}"
    return {COMPANY: f"{kept.text}logo: {logo}\n".encode(), logo: kept.logo}


def read_alone(files: Mapping[str, bytes]) -> Company:
    """The company of a company file with its logo; runs in the process with limits."""
    with as_folder("", files) as folder:
        return read_company(folder / COMPANY)


def company_of(reader: Reader, files: Mapping[str, bytes], kept: Details) -> tuple[Company, bool]:
    """The company that an inquiry's own file tells, else that of the desk; and whether it is the inquiry's."""
    if COMPANY in files:
        return reader.alone(read_alone, dict(files)), True
    own = files_of_company(kept)
    return (reader.alone(read_alone, own) if own else Company()), False


def checked_details(reader: Reader, typed: Mapping[str, str], logo: tuple[str, bytes], before: Details) -> Details:
    """New details, read as any company file is; InputErrors name the key of the form.

    logo: name and content of a new one; an empty name leaves the one before, 'out' as its content takes that out.
    """
    text = text_of(typed)
    kept = Details(number=1, text=text, logo=before.logo, form=before.form)
    files = files_of_company(kept)
    name, content = logo
    if name:
        if len(content) > LOGO_MB * 1_000_000:
            raise InputErrors([InputError("logo", name[:80], f"a file of at most {LOGO_MB} MB", "company_logo")])
        given = f"{LOGO}{PurePosixPath(name).suffix.lower()[:8]}" if name.isascii() else LOGO
        files = {COMPANY: f"{text}logo: {quoted(given)}\n".encode(), given: content}
    elif content == b"out":
        files = {COMPANY: text.encode("utf-8")}
    try:
        company = reader.alone(read_alone, files)
    except InputErrors as trouble:
        raise InputErrors([at_key(each, text, name) for each in trouble.errors]) from None
    if company.logo is None:
        return replace(kept, logo=b"", form="")
    return replace(kept, logo=company.logo.data, form=company.logo.form)


def at_key(error: InputError, text: str, logo: str) -> InputError:
    """An error at the key of its line; a line of lists holds one key too."""
    lines = [*text.splitlines(), "logo: "]
    number = int(error.where.split(":")[1]) if error.where.count(":") > 1 else len(lines)
    key = lines[min(number, len(lines)) - 1].partition(":")[0]
    return replace(error, where=key, read=logo[:80] if key == "logo" else error.read)
