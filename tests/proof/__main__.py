"""`make proof`: the long measurements, one after another, on loopback; each prints its figures, the last
lines say which claims held.
"""

import argparse
import sys
import time
from pathlib import Path

from tests.proof import (
    clean_install,
    contract_cases,
    dependencies,
    formula_strings,
    many_plans,
    monte_carlo,
    rule_files,
    same_bytes,
    saturation,
    shedding,
    sizing,
    unchanged,
    unit_strings,
)
from tests.proof.faults import (
    bad_rulebook,
    database_stopped,
    instance_replaced,
    log_not_taken,
    new_rulebook,
    slow_clients,
    worker_killed,
)
from tests.proof.resources import prove as resources
from tests.support.measured import kept_in

README = Path(__file__).parent / "README.md"
PROOFS = {
    "dependencies": dependencies.prove,
    "clean-install": clean_install.prove,
    "monte-carlo": monte_carlo.prove,
    "same-bytes": same_bytes.prove,
    "many-plans": many_plans.prove,
    "unchanged": unchanged.prove,
    "contract": contract_cases.prove,
    "unit-strings": unit_strings.prove,
    "rule-files": rule_files.prove,
    "formula-strings": formula_strings.prove,
    "worker-killed": worker_killed.prove,
    "new-rulebook": new_rulebook.prove,
    "bad-rulebook": bad_rulebook.prove,
    "instance-replaced": instance_replaced.prove,
    "database-stopped": database_stopped.prove,
    "log-not-taken": log_not_taken.prove,
    "slow-clients": slow_clients.prove,
    "resources": resources.prove,
    "sizing": sizing.prove,
    "saturation": saturation.prove,
    "shedding": shedding.prove,
}


def main() -> int:
    """0 when every claim held."""
    parser = argparse.ArgumentParser(prog="python -m tests.proof", description=__doc__)
    parser.add_argument("only", nargs="*", metavar="name", help=f"these alone: {', '.join(PROOFS)}")
    wanted = parser.parse_args().only or list(PROOFS)
    if unknown := set(wanted) - set(PROOFS):
        parser.error(f"there is no proof called {', '.join(sorted(unknown))}")
    held = {}
    for name in wanted:
        print(f"\n--- {name}", flush=True)
        with kept_in(README, name):
            started = time.monotonic()
            held[name] = PROOFS[name]()
            print(f"{'held' if held[name] else 'MISSED'}, {time.monotonic() - started:.0f} s", flush=True)
    print()
    for name, well in held.items():
        print(f"{'held  ' if well else 'MISSED'}  {name}")
    return 0 if all(held.values()) else 1


if __name__ == "__main__":
    sys.exit(main())
