"""Command line: for rules, catalog, contract, tokens and a running service."""

import argparse
import sys
from pathlib import Path

from service.commands import catalog, compare, contract, demo, roll, show, token
from service.commands.check import check_rules
from service.errors import ServiceError


def main(arguments: list[str] | None = None) -> int:
    """0 when all is well, 1 when something was found, 2 for a wrong call."""
    parser = argparse.ArgumentParser(prog="python -m service", description=__doc__)
    commands = parser.add_subparsers(required=True, metavar="command")
    one = commands.add_parser("check", help="validate a rules folder and run its worked examples")
    one.add_argument("folder", type=Path, nargs="?", help="default: RULES, or the folder beside service/")
    one.set_defaults(run=lambda given: check_rules(given.folder))
    one = commands.add_parser("compare", help="tell which verdicts change between two rules folders")
    one.add_argument("old", type=Path)
    one.add_argument("new", type=Path)
    one.add_argument("--builds", type=Path, required=True, help="a folder of builds, one JSON file each")
    one.set_defaults(run=lambda given: compare.compare_rules(given.old, given.new, given.builds))
    one = commands.add_parser("contract", help="write the contract as YAML to standard output")
    one.set_defaults(run=lambda given: contract.write_contract())
    one = commands.add_parser(
        "show", help="post a request to a running service and print the verdict for people"
    )
    one.add_argument("request", type=Path)
    one.add_argument("--url", required=True)
    one.add_argument("--working", help="print the working of this check as well")
    one.add_argument("--token-file", type=Path, help="a file with the token, where the service wants one")
    one.set_defaults(run=lambda given: show.show(given.request, given.url, given.working, given.token_file))
    one = commands.add_parser(
        "demo", help="start the service, evaluate the demo build over HTTP, print the verdict"
    )
    one.add_argument("--port", type=int, default=8077)
    one.set_defaults(run=lambda given: demo.demo(given.port))
    one = commands.add_parser("catalog", help="validate a catalog folder")
    one.add_argument("folder", type=Path)
    one.add_argument("--accept", action="store_true", help="write the parts not seen before to its ledger")
    one.add_argument("--to", metavar="URL", help="copy it to a database")
    one.set_defaults(run=lambda given: catalog.check_catalog(given.folder, given.accept, given.to))
    one = commands.add_parser("screen", help="judge a Parquet file of builds (needs the extra `bulk`)")
    one.add_argument("--builds", type=Path, required=True)
    one.add_argument("--out", type=Path, required=True)
    one.set_defaults(run=lambda given: _screen(given.builds, given.out))
    one = commands.add_parser("token", help="make a token and the lines that the file of tokens keeps of it")
    one.add_argument("name", help="whose it is, such as counter-2026")
    one.add_argument("--scopes", default="evaluate,read")
    one.set_defaults(run=lambda given: token.make_token(given.name, given.scopes))
    one = commands.add_parser(
        "roll", help="replace a running service by one with the rules of now, without a failed request"
    )
    one.add_argument("pidfile", type=Path, help="what PIDFILE named when it was started")
    one.set_defaults(run=lambda given: roll.roll(given.pidfile))
    given = parser.parse_args(arguments)
    try:
        return given.run(given)
    except ServiceError as error:
        print(error, file=sys.stderr)
        return 1


def _screen(builds: Path, out: Path) -> int:
    # Parquet is an extra; the service itself starts without it.
    from service.commands.screen import screen_builds

    return screen_builds(builds, out)


if __name__ == "__main__":
    sys.exit(main())
