"""`millhand account`: who may sign in where the desk serves others, made and changed on the terminal."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from millhand.errors import InputError
from millhand.model.canonical import canonical
from millhand.store import accounts
from millhand.store.opening import Store, opened, usual_url

PASSWORD = "MILLHAND_PASSWORD"
WHO = "the terminal"
ROLE = click.option("--role", type=click.Choice(accounts.ROLES), required=True, help="What the account may do.")


@click.group(name="account")
def command() -> None:
    """Make, list and change the accounts of a desk that serves others ('millhand serve --for-others').

    A reader sees everything, an engineer changes inquiries and runs studies, an owner looks after accounts too.
    A password is typed unseen, or stands in MILLHAND_PASSWORD, or is the first line of standard input.
    """


@contextmanager
def desk() -> Iterator[Store]:
    """The database of the desk, also while a server holds it."""
    with opened(usual_url(), alone=False) as store:
        yield store


def password_for(name: str) -> str:
    """The hash of a new password, from wherever it comes."""
    given = os.environ.pop(PASSWORD, None)
    if given is None and sys.stdin.isatty():
        given = click.prompt(f"Password for {name}", hide_input=True, confirmation_prompt="Once more", err=True)
    elif given is None:
        given = sys.stdin.readline().rstrip("\r\n")
    return accounts.hashed(str(given), name)


@contextmanager
def known(name: str) -> Iterator[None]:
    """An account that must be there."""
    try:
        yield
    except KeyError:
        raise InputError(
            "NAME", name, "the name of an account; 'millhand account list' shows them", "no_account"
        ) from None


@command.command(name="add")
@click.argument("name")
@ROLE
def add(name: str, role: str) -> None:
    """Make the account NAME."""
    own = accounts.named(name)
    kept = password_for(own)
    with desk() as store, store.writing() as connection:
        accounts.add(connection, WHO, own, role, kept)
    click.echo(f"{own} may sign in as {role}.")


@command.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def listing(as_json: bool) -> None:
    """List the accounts; passwords are kept as hashes and not shown."""
    with desk() as store, store.reading() as connection:
        found = accounts.accounts(connection)
    if as_json:
        about = [{"name": each.name, "role": each.role, "made_at": each.made_at} for each in found]
        click.echo(canonical({"accounts": about}), nl=False)
        return
    for each in found:
        click.echo(f"{each.name:<24} {each.role:<9} since {each.made_at[:10]}")
    if not found:
        click.echo("There are none. Make the first: millhand account add NAME --role owner")


@command.command(name="role")
@click.argument("name")
@ROLE
def role(name: str, role: str) -> None:
    """Give the account NAME another role, from its next request on."""
    with known(name), desk() as store, store.writing() as connection:
        accounts.set_role(connection, WHO, name, role)
    click.echo(f"{accounts.folded(name)} is {role} now.")


@command.command(name="password")
@click.argument("name")
def password(name: str) -> None:
    """Set a new password for NAME; every browser and program that came in by the old one is out."""
    with known(name), desk() as store:
        with store.reading() as connection:
            own = accounts.account(connection, name).name
        kept = password_for(own)
        with store.writing() as connection:
            accounts.set_password(connection, WHO, own, kept)
    click.echo(f"{own} has a new password, and may try at once.")


@command.command(name="take-away")
@click.argument("name")
def take_away(name: str) -> None:
    """Take the account NAME away; what it did stays told."""
    with known(name), desk() as store, store.writing() as connection:
        accounts.take_away(connection, WHO, name)
    click.echo(f"{accounts.folded(name)} may no longer sign in.")
