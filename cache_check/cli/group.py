"""The group of commands: each loaded when it is called, and the nearest name offered for one that is not there."""

from __future__ import annotations

from difflib import get_close_matches
from importlib import import_module
from typing import cast

import click

from cache_check import __version__
from cache_check.cli.front import commands, front_page


class Commands(click.Group):
    """Commands by the files of a folder."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in order of use."""
        return list(commands())

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, its module imported now."""
        if cmd_name not in commands():
            return None
        module = import_module(f"cache_check.cli.commands.{cmd_name}")
        return cast("click.Command", module.command)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was meant.

        Raises:
            UsageError: there is none of that name; the sentence offers the nearest.
        """
        if not args[0].startswith("-") and args[0] not in commands():
            near = get_close_matches(args[0], commands(), n=1)
            hint = f"did you mean {near[0]!r}?" if near else f"the commands are {', '.join(commands())}."
            raise click.UsageError(f"no command {args[0]!r}; {hint}", ctx)
        return super().resolve_command(ctx, args)

    def get_help(self, ctx: click.Context) -> str:
        """The same front page that ``--help`` prints without loading this."""
        return front_page().rstrip("\n")


group = Commands(name="cache-check", no_args_is_help=True)
click.version_option(__version__, prog_name="cache-check")(group)
