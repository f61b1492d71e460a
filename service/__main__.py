"""Command line: for rules, catalog, contract, tokens and a running service."""

import argparse
import os
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from service.commands import catalog, compare, demo, roll, serve, show, token
from service.commands.check import check_rules
from service.errors import ServiceError
from service.extra import need_extra


class _AddCommand(Protocol):
    """Adds one command: its name, what runs it, and the line that explains it."""

    def __call__(self, name: str, run: Callable[[Namespace], int], about: str) -> ArgumentParser: ...


def main(arguments: list[str] | None = None) -> int:
    """0 when all is well, 1 when something was found, 2 for a wrong call."""
    given = _parser().parse_args(arguments)
    run: Callable[[Namespace], int] = given.run
    try:
        return run(given)
    except BrokenPipeError:
        # Who reads has seen enough; what is still in the buffer must not be tried again at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except ServiceError as error:
        print(error, file=sys.stderr)
        return 1


def _parser() -> ArgumentParser:
    as_module = Path(sys.argv[0]).name == "__main__.py"
    parser = argparse.ArgumentParser(prog="python -m service" if as_module else None, description=__doc__)
    commands = parser.add_subparsers(required=True, metavar="command")

    def add(name: str, run: Callable[[Namespace], int], about: str) -> ArgumentParser:
        command = commands.add_parser(name, help=about)
        command.set_defaults(run=run)
        return command

    _add_commands_that_serve(add)
    _add_commands_for_files(add)
    _add_command_for_paper(add)
    _add_commands_for_a_service(add)
    return parser


def _add_commands_for_files(add: _AddCommand) -> None:
    about = "validate a rules folder and run its worked examples"
    command = add("check", lambda given: check_rules(given.folder), about)
    command.add_argument(
        "folder", type=Path, nargs="?", help="default: RULES, or the rules that come with it"
    )
    command = add(
        "compare",
        lambda given: compare.compare_rules(given.old, given.new, given.builds),
        "tell which verdicts change between two rules folders",
    )
    command.add_argument("old", type=Path)
    command.add_argument("new", type=Path)
    command.add_argument("--builds", type=Path, required=True, help="a folder of builds, one JSON file each")
    add("contract", lambda given: _write_contract(), "write the contract as YAML to standard output")
    command = add(
        "catalog",
        lambda given: catalog.check_catalog(given.folder, given.accept, given.to),
        "validate a catalog folder",
    )
    command.add_argument("folder", type=Path)
    command.add_argument(
        "--accept", action="store_true", help="write the parts not seen before to its ledger"
    )
    command.add_argument("--to", metavar="URL", help="copy it to a database")
    command = add(
        "screen",
        lambda given: _screen(given.builds, given.out),
        "judge a Parquet file of builds (needs the extra `bulk`)",
    )
    command.add_argument("--builds", type=Path, required=True)
    command.add_argument("--out", type=Path, required=True)


def _add_command_for_paper(add: _AddCommand) -> None:
    command = add("sheet", _write_sheet, "write a sheet about a build as PDF (needs the extra `pdf`)")
    command.add_argument("request", type=Path, help="a request as `show` posts it")
    command.add_argument("--out", type=Path, required=True)
    command.add_argument("--kind", choices=("build", "start", "result"), default="build")
    command.add_argument("--units", choices=("metric", "us"), help="default: those of the request")
    command.add_argument(
        "--pull", action="append", default=[], help="a figure such as '402 whp', for the kind `result`"
    )


def _add_commands_that_serve(add: _AddCommand) -> None:
    add("serve", lambda given: serve.serve(), "start the service; README.md has its settings")
    about = "start the service, evaluate the demo build over HTTP, print the verdict"
    command = add("demo", lambda given: demo.demo(given.port, given.keep), about)
    command.add_argument("--port", type=int, default=8077)
    command.add_argument("--keep", action="store_true", help="leave the service running")
    about = "tools for language models on standard input and output, or --http (needs the extra `mcp`)"
    command = add("mcp", _serve_models, about)
    command.add_argument("--http", action="store_true", help="one endpoint /mcp beside a running service")
    command.add_argument("--host", default="127.0.0.1", help="where --http listens")
    command.add_argument("--port", type=int, default=8078, help="where --http listens")
    command.add_argument("--url", help="the running service to ask; without --http default: none is needed")
    command.add_argument("--token-file", type=Path, help="without --http: a file with the token for --url")


def _add_commands_for_a_service(add: _AddCommand) -> None:
    command = add(
        "show",
        lambda given: show.show(given.request, given.url, given.working, given.token_file, given.all),
        "post a request to a running service and print the answer for people",
    )
    command.add_argument("request", type=Path)
    command.add_argument("--url", required=True)
    command.add_argument("--all", action="store_true", help="print every check, assumption and what is open")
    command.add_argument("--working", help="print the working of this check as well")
    command.add_argument("--token-file", type=Path, help="a file with the token, where the service needs one")
    about = "make a token and its lines for the token file"
    command = add("token", lambda given: token.make_token(given.name, given.scopes), about)
    command.add_argument("name", help="whose it is, such as counter-2026")
    command.add_argument("--scopes", default="evaluate,read")
    about = "replace a running service with one that has the current rules, without a failed request"
    command = add("roll", lambda given: roll.roll(given.pidfile), about)
    command.add_argument("pidfile", type=Path, help="what PIDFILE named when it was started")


def _write_contract() -> int:
    # The web side of the service, which is a third of the time that `check` takes.
    from service.commands.contract import write_contract

    return write_contract()


def _screen(builds: Path, out: Path) -> int:
    # Parquet is an extra; the service itself starts without it.
    need_extra("bulk", "pyarrow", "tqdm")
    from service.commands.screen import screen_builds

    return screen_builds(builds, out)


def _write_sheet(given: Namespace) -> int:
    # The printer is an extra; the service itself starts without it.
    need_extra("pdf", "weasyprint")
    from service.commands.sheet import SheetOrder, write_sheet

    return write_sheet(SheetOrder(given.request, given.out, given.kind, given.units, tuple(given.pull)))


def _serve_models(given: Namespace) -> int:
    # The protocol's library is an extra; nothing else imports it.
    need_extra("mcp", "mcp", "uvicorn")
    from service.commands.mcp import Address, over_http, over_stdio

    if given.http:
        return over_http(given.url, Address(given.host, given.port))
    return over_stdio(given.url, given.token_file)


if __name__ == "__main__":
    sys.exit(main())
