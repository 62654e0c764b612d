"""The server under load and ill-use for long: overload, killed workers, slow clients, memory. `make prove`."""

import contextlib
import os
import signal
import threading
import time
from collections import Counter
from pathlib import Path

import pytest
import requests
from server_process import DESIGN, HEAD, Server, checks, started, within_a_minute, workers_of

SHARE = float(os.environ.get("PROVE_SHARE", "1"))
"""How long the long proofs take, of what they are meant to."""


def statistics_of(seconds: list[float]) -> dict[str, float]:
    ordered = sorted(seconds)
    return {f"p{share}": round(1000 * ordered[min(len(ordered) - 1, len(ordered) * share // 100)], 1) for share in (50, 90, 99)}


def hammer(server: Server, clients: int, seconds: float, good: bytes) -> Counter[str]:
    """Ask from so many threads for so long; counts of statuses, of wrong answers and of none; times of the good ones in ms."""
    told: Counter[str] = Counter()
    times: list[float] = []
    until = time.monotonic() + seconds

    def ask() -> None:
        with requests.Session() as session:
            while time.monotonic() < until:
                began = time.monotonic()
                try:
                    answer = session.post(
                        f"{server.address}/v1/checks", data=DESIGN, headers={"Content-Type": "application/json"}, timeout=60
                    )
                except requests.RequestException:
                    told["no answer"] += 1
                    time.sleep(0.05)
                    continue
                told[str(answer.status_code)] += 1
                if answer.status_code == 200:
                    times.append(time.monotonic() - began)
                    told["wrong"] += answer.content != good
                elif answer.status_code == 503:
                    told["no retry-after"] += "Retry-After" not in answer.headers
                    time.sleep(0.02)

    threads = [threading.Thread(target=ask) for _ in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(seconds + 90)
    print(f"{clients} clients, {seconds:.0f} s: {dict(told)}, accepted {statistics_of(times)} ms", flush=True)
    told["p99 ms"] = int(statistics_of(times)["p99"]) if times else 0
    return told


def resident_kib(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))


@pytest.mark.prove
def test_more_than_it_can_do_is_sent_away_and_the_rest_is_answered_soon() -> None:
    with started() as server:
        good = server.check().content
        calm = hammer(server, 1, 10 * SHARE, good)
        full = hammer(server, 48, 30 * SHARE, good)
    assert set(full) <= {"200", "503", "wrong", "no retry-after", "p99 ms"}
    assert (full["wrong"], full["no retry-after"]) == (0, 0)
    assert full["503"] > 0
    assert calm["p99 ms"] < full["p99 ms"] < 5_000, (
        "a line of nine, and as many threads that answer 503 beside it: a quarter of the deadline"
    )


@pytest.mark.prove
def test_workers_that_are_killed_under_load_give_no_wrong_and_no_half_answer() -> None:
    with started() as server:
        good = server.check().content
        killed: list[int] = []
        over = threading.Event()

        def kill() -> None:
            while not over.wait(2):
                for pid in workers_of(server):
                    os.kill(pid, signal.SIGKILL)
                    killed.append(pid)

        killer = threading.Thread(target=kill)
        killer.start()
        told = hammer(server, 6, 40 * SHARE, good)
        over.set()
        killer.join()
        within_a_minute(lambda: checks(server))
        assert server.check().content == good
    print(f"workers killed: {len(killed)}")
    assert len(killed) > 10 * SHARE
    assert told["wrong"] == 0
    assert told["200"] > 0
    assert set(told) <= {"200", "503", "wrong", "no answer", "no retry-after", "p99 ms"}


@pytest.mark.prove
def test_five_hundred_slow_clients_keep_nobody_out() -> None:
    with started() as server:
        good = server.check().content
        slow = [server.connect() for _ in range(500)]
        over = threading.Event()

        def drip() -> None:
            sent = HEAD % len(DESIGN) + DESIGN
            for at in range(len(sent)):
                for client in slow:
                    with contextlib.suppress(OSError):
                        client.send(sent[at : at + 1])
                if over.wait(1):
                    return

        dripping = threading.Thread(target=drip)
        dripping.start()
        told = hammer(server, 2, 30 * SHARE, good)
        over.set()
        dripping.join()
        for client in slow:
            client.close()
    assert set(told) <= {"200", "wrong", "p99 ms"}
    assert told["wrong"] == 0


@pytest.mark.prove
def test_ten_minutes_leave_memory_as_it_was() -> None:
    with started(GUNICORN_CMD_ARGS="--max-requests 0 --max-requests-jitter 0") as server:  # else the worker measured is replaced
        good = server.check().content
        hammer(server, 3, 60 * SHARE, good)
        before = {pid: resident_kib(pid) for pid in workers_of(server)}
        told = hammer(server, 3, 540 * SHARE, good)
        after = {pid: resident_kib(pid) for pid in workers_of(server)}
        print(f"resident KiB before {before}, after {after}", flush=True)  # at once: what follows may fail where its files were swept away
    assert told["wrong"] == 0
    assert set(before) == set(after)
    assert all(after[pid] < 1.05 * before[pid] + 2048 for pid in before)
