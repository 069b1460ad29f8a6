"""A program that embeds pathkit: one board for each number, made and proved in threads or in processes.

python tests/face/embedding.py none | threads | fork | spawn
"""

from __future__ import annotations

import hashlib
import logging
import multiprocessing
import sys
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor

import pathkit as pk
from pathkit.operations import contour, drill, rectangle

BOARDS = range(3)


def board(number: int) -> tuple[pk.Posted, pk.Proof]:
    bit = pk.Tool("3 mm end mill", 3.0, centre_cutting=True)
    feeds = pk.Cutting(feed=1200, plunge=400, spindle=16000)
    stock = pk.Stock(160, 120, 6, z_zero="bed", underlay=3)
    plate = rectangle((20, 20), 80 + 5 * number, 60, radius=6)
    holes = [(30 + 10 * k, 30 + 7 * (k * number % 5)) for k in range(6)]
    cuts = drill("holes", holes, bit, feeds, bottom=stock.through())
    cuts += contour("outline", plate, bit, feeds, bottom=stock.through(), stepdown=2)
    machine = pk.load_machine("grbl-back-right")
    passes = pk.Pipeline([pk.HoldTabs(count=2), pk.RampEntries(), pk.OrderTravel(seed=number)])
    outcome = passes.run(pk.Job(f"plate {number}", stock, cuts), machine, check=True)
    program = pk.lower(outcome.job, machine)
    posted = pk.post(program, machine)
    return posted, pk.verify(posted, program, machine, job=outcome.job)


def pool(kind: str) -> Executor:
    if kind == "threads":
        return ThreadPoolExecutor(3)
    return ProcessPoolExecutor(2, mp_context=multiprocessing.get_context(kind))


if __name__ == "__main__":
    logging.basicConfig(level=logging.WARNING)
    if sys.argv[1] == "none":
        made = list(map(board, BOARDS))
    else:
        with pool(sys.argv[1]) as executor:
            made = list(executor.map(board, BOARDS))
    for posted, proof in made:
        print(hashlib.sha256(posted.files[0].data).hexdigest(), proof.ok)
