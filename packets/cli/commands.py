"""The group of commands: each is imported when it is asked for, not before."""

import importlib
from dataclasses import dataclass

import click

from packets import __version__
from packets.base.loading import loading


@dataclass(frozen=True)
class Entry:
    """One command: where it lives and the line that `packets --help` shows for it."""

    module: str
    line: str


COMMANDS = {
    "new": Entry("packets.cli.new", "Make an empty client folder with commented files."),
    "inventory": Entry("packets.cli.inventory", "List each page, its category and the evidence."),
    "plan": Entry("packets.cli.plan", "Show what would go in, page by page, and why."),
    "build": Entry("packets.cli.build", "Build, mask, seal, check and release one packet."),
    "batch": Entry("packets.cli.batch", "Build for every client folder under a root."),
    "review": Entry("packets.cli.review", "Look at packets before they leave, in the browser."),
    "passphrase": Entry(
        "packets.cli.passphrase_command", "Show, spell or agree on a client's passphrase."
    ),
    "mail": Entry("packets.cli.mail", "Mail a released packet, or save the message."),
    "mask": Entry("packets.cli.mask", "Write an unencrypted masked copy of one PDF."),
    "check": Entry("packets.cli.check", "Look for full numbers in files that are to leave."),
    "sign": Entry("packets.cli.sign", "Record, list or withdraw who allowed which signature."),
    "ledger": Entry("packets.cli.ledger", "Show, verify or sign what was released."),
    "verify": Entry("packets.cli.verify", "Prove a packet by its papers, ledger and signature."),
    "retention": Entry("packets.cli.retention", "List what may be disposed of on a day."),
    "office-key": Entry(
        "packets.cli.office_key", "Make or show the key by which the office signs."
    ),
    "recipe": Entry("packets.cli.recipe", "List and show recipes, or print their schema."),
}
"""In the order of a working day, which is the order of the help."""


class CommandsOnDemand(click.Group):
    """A group that knows its commands by name and loads one only to run it."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - as click calls it
        return list(COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002 - as click calls it
        cmd_name: str,
    ) -> click.Command | None:
        entry = COMMANDS.get(cmd_name)
        if entry is None:
            return None
        keep_engines_quiet()
        with loading():
            command = importlib.import_module(entry.module).command
        assert isinstance(command, click.Command)
        return command

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - as click calls it
        formatter: click.HelpFormatter,
    ) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.line) for name, entry in COMMANDS.items()])


def keep_engines_quiet() -> None:
    """What engines log may repeat what they read from a page: let it go nowhere by itself."""
    import logging  # noqa: PLC0415 - the list of commands needs none

    top = logging.getLogger()
    if not top.hasHandlers():
        top.addHandler(logging.NullHandler())


EXIT_STATUS_HELP = (
    "Exit status: 0 done and clean; 1 held; 2 the command, recipe or engagement file is wrong; "
    "3 an input is refused; 4 delivery failed; 70 our own fault."
)


@click.command(
    cls=CommandsOnDemand,
    name="packets",
    epilog=EXIT_STATUS_HELP,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="packets")
def packets() -> None:
    """Build, mask, seal and prove the PDF packets that leave a tax office."""
