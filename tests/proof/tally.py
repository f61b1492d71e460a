"""What came of very many strings, values or files, each judged and timed, over two processes."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing import get_context
from time import perf_counter, perf_counter_ns

PROCESSES = 2


@dataclass
class Tally:
    """What came of many strings, with one example of each thing wrong; the worst time is confirmed, so that a
    hiccup of the machine is none.
    """

    taken: int = 0
    refused: int = 0
    worst_ns: int = 0
    worst: object = ""
    wrong: dict[str, str] = field(default_factory=dict)

    def one(self, judge: Callable, *given: object) -> None:
        def timed() -> tuple[int, tuple[bool, str | None]]:
            start = perf_counter_ns()
            outcome = judge(*given)
            return perf_counter_ns() - start, outcome

        spent, (good, wrong) = timed()
        if spent > self.worst_ns:
            spent = min(spent, timed()[0], timed()[0])
            if spent > self.worst_ns:
                self.worst_ns, self.worst = spent, given[-1]
        self.taken, self.refused = self.taken + good, self.refused + (not good)
        if wrong:
            self.wrong.setdefault(wrong, repr(given)[:200])

    def add(self, other: "Tally") -> None:
        self.taken, self.refused, self.wrong = (
            self.taken + other.taken,
            self.refused + other.refused,
            other.wrong | self.wrong,
        )
        if other.worst_ns > self.worst_ns:
            self.worst_ns, self.worst = other.worst_ns, other.worst


def in_two_processes(
    work: Callable[[tuple[int, int]], Tally], count: int, batch: int, slowest_ms: float, title: str
) -> bool:
    """Seeded batches of `work` over two processes; prints the figures, True when nothing is wrong and nothing
    slow.
    """
    start, total = perf_counter(), Tally()
    with get_context("spawn").Pool(PROCESSES) as pool:
        for tally in pool.imap_unordered(
            work, [(seed, min(batch, count - seed * batch)) for seed in range(math.ceil(count / batch))]
        ):
            total.add(tally)
    spent = perf_counter() - start
    print(
        f"{title}: {total.refused} refused, {total.taken} taken, {len(total.wrong)} kinds of wrong; worst "
        f"{total.worst_ns / 1e6:.2f} ms (at most {slowest_ms}) for {repr(total.worst)[:80]}; "
        f"{count / spent:.0f} a second"
    )
    for wrong, given in total.wrong.items():
        print(f"  {wrong}: {given}")
    return not total.wrong and total.worst_ns <= slowest_ms * 1e6
