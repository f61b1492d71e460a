"""The load as a prover holds it: started, let run beside a fault, stopped, counted."""

import itertools
import pickle
import subprocess
import sys
import time
from dataclasses import dataclass, field

import orjson

from tests.support.places import ROOT


@dataclass(frozen=True)
class Question:
    """A request and the answers allowed to it, (status, body) each: one for every rulebook that may be
    loaded.
    """

    body: bytes
    answers: tuple[tuple[int, bytes], ...]
    path: str = "/v1/evaluations"

    @property
    def raw(self) -> bytes:
        """The request as it goes over the wire."""
        return (
            b"POST %s HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
            b"Content-Length: %d\r\n\r\n" % (self.path.encode(), len(self.body)) + self.body
        )


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer that was allowed: when the question was first asked, last sent, answered (time.monotonic);
    which of the allowed; whether it was the first on its connection.
    """

    asked: float
    sent: float
    received: float
    which: int
    fresh: bool


@dataclass
class Tally:
    """What came of a load. `repeated`: asked again after a kept-alive connection closed without a byte of
    answer. `idle`: closed while nothing was asked. `lost`: cut within an answer or on a new connection, or
    silent for 30 s. `wrong`: a 200 with other bytes. `status`: a status that was not allowed.
    """

    answers: list[Answer] = field(default_factory=list)
    refused: int = 0
    idle: int = 0
    repeated: int = 0
    lost: int = 0
    wrong: int = 0
    status: int = 0
    samples: list[tuple[str, bytes]] = field(default_factory=list)
    seconds: float = 0.0
    cpu: float = 0.0

    @property
    def errors(self) -> int:
        """Questions that got no answer or not the right one."""
        return self.refused + self.lost + self.wrong + self.status

    @property
    def rate(self) -> float:
        """Right answers a second."""
        return len(self.answers) / self.seconds

    def latency(self, share: float) -> float:
        """The time in ms within which this share of the questions was answered, repeats included."""
        times = sorted(one.received - one.asked for one in self.answers)
        return times[min(int(share * len(times)), len(times) - 1)] * 1e3 if times else float("nan")

    def first_new_connection_after(self, moment: float) -> float:
        """Seconds from a moment to the first right answer on a connection opened after it."""
        return min(
            (one.received - moment for one in self.answers if one.fresh and one.sent > moment),
            default=float("nan"),
        )

    def longest_silence(self) -> float:
        """The longest time in s in which nobody was answered."""
        moments = sorted(one.received for one in self.answers)
        return max((later - earlier for earlier, later in itertools.pairwise(moments)), default=float("nan"))

    def __str__(self) -> str:
        speed = (
            f"{len(self.answers):,} right answers, {self.rate:,.0f} a second, p50 {self.latency(0.5):.1f}, "
            f"p99 {self.latency(0.99):.1f}, worst {self.latency(1):.0f} ms"
        )
        return (
            f"{speed}; lost {self.lost}, wrong {self.wrong}, other status {self.status}, refused "
            f"{self.refused}, asked again {self.repeated}, closed idle {self.idle}; the load took "
            f"{self.cpu / self.seconds:.2f} cores"
        )


class Load:
    """A context manager: the load runs in processes of its own until stop(), which gives the tally. `pause`
    is the mean time in s that a client thinks between an answer and the next question.
    """

    def __init__(
        self,
        port: int,
        questions: list[Question],
        connections: int = 16,
        processes: int = 1,
        pause: float = 0.0,
    ):
        asked = [(one.raw, list(one.answers)) for one in questions]
        self._orders = [
            pickle.dumps((port, connections // processes, pause, seed, asked)) for seed in range(processes)
        ]

    def __enter__(self) -> "Load":
        self._processes = [
            subprocess.Popen(
                [sys.executable, "-m", "tests.proof.connections"],
                cwd=ROOT,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
            )
            for _ in self._orders
        ]
        for process, order in zip(self._processes, self._orders, strict=False):
            process.stdin.write(order)
            process.stdin.flush()
        return self

    def stop(self) -> Tally:
        """End the load and count."""
        tally = Tally()
        for process in self._processes:
            process.stdin.close()
        for process in self._processes:
            done = pickle.loads(process.stdout.read())
            tally.answers += [Answer(*one) for one in done["answers"]]
            tally.samples += done["samples"]
            tally.cpu += done["cpu"]
            tally.seconds = max(tally.seconds, done["ended"] - done["began"])
            for name, number in done["counts"].items():
                setattr(tally, name, getattr(tally, name) + number)
        return tally

    def __exit__(self, *_) -> None:
        for process in self._processes:
            process.kill()
            process.wait()
            process.stdin.close()
            process.stdout.close()


def run_for(seconds: float, port: int, questions: list[Question], **load) -> Tally:
    """The tally of a load that nothing disturbs."""
    with Load(port, questions, **load) as running:
        time.sleep(seconds)
        return running.stop()


def evaluation(build: dict, **rest) -> bytes:
    """The body of an evaluation."""
    return orjson.dumps({"build": build} | rest)
