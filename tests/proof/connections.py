"""The process that makes the load: kept-alive connections in one selector. Orders come pickled on standard
input, and its end means stop; the tally goes to standard output.
"""

import heapq
import pickle
import random
import selectors
import socket
import sys
import time
from itertools import count

SILENCE = 30.0
RETRY_AFTER = 0.02


class Connection:
    """One connection and the question that is out on it."""

    __slots__ = ("answer", "began", "closing", "question", "sent", "served", "socket")

    def __init__(self):
        self.socket: socket.socket | None = None
        self.question, self.answer = None, b""


class Load:
    """Asks the questions in a random order until told to stop; each answer is compared with those allowed to
    its question.
    """

    def __init__(
        self,
        port: int,
        connections: int,
        pause: float,
        seed: int,
        questions: list[tuple[bytes, list[tuple[int, bytes]]]],
    ):
        self.port, self.pause, self.questions, self.source = port, pause, questions, random.Random(seed)
        self.selector = selectors.DefaultSelector()
        self.connections = [Connection() for _ in range(connections)]
        # (when, tie-breaker, connection): who asks again, and when.
        self.waiting: list[tuple[float, int, Connection]] = []
        self.tie = count()
        self.answers: list[tuple[float, float, float, int, bool]] = []
        self.counts = {"refused": 0, "idle": 0, "repeated": 0, "lost": 0, "wrong": 0, "status": 0}
        self.samples: list[tuple[str, bytes]] = []

    def run(self) -> dict:
        """Until standard input ends; what is out then may still be answered."""
        start, cpu = time.monotonic(), time.process_time()
        self.selector.register(sys.stdin.buffer, selectors.EVENT_READ)
        for one in self.connections:
            self._later(one, start + self.source.random() * self.pause)
        stopping, looked = None, start
        while stopping is None or (
            any(one.question for one in self.connections) and time.monotonic() < stopping + SILENCE
        ):
            timeout = max(self.waiting[0][0] - time.monotonic(), 0) if self.waiting else 0.5
            for key, _ in self.selector.select(min(timeout, 0.5)):
                if key.data is not None:
                    self._read(key.data, stopping)
                elif stopping is None:
                    stopping = time.monotonic()
                    self.selector.unregister(sys.stdin.buffer)
            now = time.monotonic()
            while self.waiting and self.waiting[0][0] <= now:
                one = heapq.heappop(self.waiting)[2]
                if one.question is not None or stopping is None:
                    self._ask(one)
            if now > looked + 1:
                looked = now
                for one in self.connections:
                    if one.question is not None and one.socket is not None and now - one.sent > SILENCE:
                        self._cut(one, "silent")
        self.counts["lost"] += sum(one.question is not None for one in self.connections)
        return {
            "answers": self.answers,
            "counts": self.counts,
            "samples": self.samples,
            "cpu": time.process_time() - cpu,
            "began": start,
            "ended": stopping,
        }

    def _later(self, one: Connection, when: float) -> None:
        heapq.heappush(self.waiting, (when, next(self.tie), one))

    def _ask(self, one: Connection) -> None:
        if one.question is None:
            one.question, one.began = self.source.choice(self.questions), time.monotonic()
        if one.socket is None:
            try:
                one.socket = socket.create_connection(("127.0.0.1", self.port), timeout=SILENCE)
            except OSError:
                self.counts["refused"] += 1
                return self._later(one, time.monotonic() + RETRY_AFTER)
            one.served, one.closing = 0, False
            one.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self.selector.register(one.socket, selectors.EVENT_READ, one)
        one.answer, one.sent = b"", time.monotonic()
        try:
            one.socket.sendall(one.question[0])
        except OSError:
            self._cut(one, "cut while sending")

    def _read(self, one: Connection, stopping: float | None) -> None:
        try:
            piece = one.socket.recv(262144)
        except OSError:
            piece = b""
        if not piece:
            self._cut(one, "cut")
            return
        one.answer += piece
        head, found, body = one.answer.partition(b"\r\n\r\n")
        if not found or len(body) < (length := _length(head)):
            return
        self._judge(one, head, body, length)
        one.served += 1
        one.question, one.answer = None, b""
        if b"connection: close" in head.lower():
            self._close(one)
        if stopping is not None:
            self._close(one)
        elif self.pause:
            self._later(one, time.monotonic() + self.source.uniform(0, 2 * self.pause))
        else:
            self._ask(one)

    def _judge(self, one: Connection, head: bytes, body: bytes, length: int) -> None:
        status = int(head[9:12])
        allowed = one.question[1]
        if len(body) == length and (status, body) in allowed:
            self.answers.append(
                (one.began, one.sent, time.monotonic(), allowed.index((status, body)), one.served == 0)
            )
        else:
            kind = "wrong" if status == 200 else "status"
            self.counts[kind] += 1
            self._sample(kind, one.answer)

    def _cut(self, one: Connection, how: str) -> None:
        """RFC 9112 9.3.1: a kept-alive connection may close at any time; a question without a byte of answer
        is asked again, since asking changes nothing.
        """
        if one.socket is None:
            return
        served, answer = one.served, one.answer
        self._close(one)
        if one.question is None:
            self.counts["idle"] += 1
        elif served and not answer and how != "silent":
            self.counts["repeated"] += 1
            self._ask(one)
        else:
            self.counts["lost"] += 1
            self._sample(
                f"lost: {how} after {len(answer)} bytes of the answer, {served} answers before on the "
                "connection",
                answer,
            )
            one.question = None
            self._later(one, time.monotonic() + RETRY_AFTER)

    def _close(self, one: Connection) -> None:
        if one.socket is not None:
            self.selector.unregister(one.socket)
            one.socket.close()
            one.socket = None

    def _sample(self, kind: str, answer: bytes) -> None:
        if len(self.samples) < 5:
            self.samples.append((kind, answer[:2000]))


def _length(head: bytes) -> int:
    _, _, rest = head.lower().partition(b"content-length:")
    return int(rest.partition(b"\r\n")[0])


if __name__ == "__main__":
    done = Load(*pickle.load(sys.stdin.buffer)).run()
    pickle.dump(done, sys.stdout.buffer)
