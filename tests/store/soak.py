"""``make soak``: the kill tests at full length, with their figures. Takes some minutes."""

from __future__ import annotations

import argparse
import random
import secrets
import shutil
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path

from killing import Keeper, Run, keeper, share_of
from layouts import filled, kill_changes
from made_events import shot
from private_postgres import SKIP, PrivateServer, binaries, drop_database, make_database

from overslab.job import sample_folder
from overslab.job.store import Store


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kills", type=int, default=1_000, help="kills of K1 on SQLite")
    asked.add_argument("--seed", type=int, default=secrets.randbelow(10**6))
    given = asked.parse_args()
    print(f"seed {given.seed}")
    here = binaries()
    server = PrivateServer(here) if here else None
    good = True
    try:
        with keeper() as forking, tempfile.TemporaryDirectory() as folder:
            for number, kind in enumerate(("sqlite", "postgresql")):
                if kind == "postgresql" and server is None:
                    print(SKIP)
                    continue
                soak = Soak(forking, Path(folder) / kind, server=server if number else None)
                kills = given.kills if kind == "sqlite" else given.kills // 10
                good &= soak.all(kind, kills=kills, seed=given.seed)
    finally:
        if server is not None:
            server.remove()
    raise SystemExit(0 if good else "something was lost, doubled or torn: see above")


class Soak:
    """All of it on one kind of database."""

    def __init__(self, forking: Keeper, folder: Path, *, server: PrivateServer | None) -> None:
        self.forking, self.folder, self.server = forking, folder, server
        self.count = 0

    def place(self) -> tuple[str, Path]:
        self.count += 1
        data = self.folder / str(self.count)
        if self.server is None:
            return f"sqlite:///{data}/overslab.db", data
        name = f"soak_{self.count}"
        make_database(self.server.url("postgres"), name)
        return self.server.url(name), data

    def all(self, kind: str, *, kills: int, seed: int) -> bool:
        print(f"\n{kind}")
        done = [
            self.kills(kills, seed=seed),
            self.dropped(seed=seed + 1),
            self.changes(kills // 5, seed=seed + 2),
            self.together(),
        ]
        return all(done)

    def kills(self, kills: int, *, seed: int) -> bool:
        began = time.perf_counter()
        url, data = self.place()
        run = Run(self.forking, url=url, data=data, phones=6, seed=seed)
        if self.server is not None:
            run.between = self.stop_dead
        run.rounds(kills, longest_s=0.08, back_up_every=10)
        run.last_words()
        figures = run.count()
        print(
            f"  K1, K5: {figures.kills} kills ({figures.killed_while_opening} while opening), "
            f"{figures.answered} answered, {figures.lost} lost, {figures.doubled} doubled, "
            f"{figures.half_batches} half of {figures.unanswered} batches without an answer "
            f"({figures.unanswered_whole} were there whole), {figures.sent_again} sent again, "
            f"{figures.unsound} checks failed, {figures.differing} summaries differ, "
            f"{figures.bad_backups} bad of {figures.backups} backups under fire; "
            f"start to first answer p95 {figures.restart_p95_s:.2f} s, "
            f"answer p99 {figures.wait_p99_s * 1000:.0f} ms; {time.perf_counter() - began:.0f} s"
        )
        for words in figures.trouble:
            print(f"    {words}")
        return figures.clean

    def stop_dead(self, number: int) -> None:
        if number % 5 == 0 and self.server is not None:
            self.server.stop(mode="immediate")
            self.server.start()

    def dropped(self, *, seed: int) -> bool:
        url, data = self.place()
        run = Run(self.forking, url=url, data=data, phones=6, seed=seed, drop=0.3)
        run.rounds(20, longest_s=0.8)
        run.last_words()
        figures = run.count()
        print(
            f"  K2: 30 % of answers dropped: {figures.answered} answered, {figures.events} there, "
            f"{figures.unanswered_whole} batches kept without an answer, {figures.lost} lost, "
            f"{figures.doubled} doubled, {figures.half_batches} half"
        )
        return figures.clean and figures.answered == figures.events

    def changes(self, kills: int, *, seed: int) -> bool:
        url, data = self.place()
        filled(url, data, events=2_000)
        found = kill_changes(
            self.forking,
            url=url,
            data=data,
            kills=kills,
            again=self.put_back(url),
            chance=random.Random(seed).random,
        )
        print(
            f"  K6: {found.kills} kills of a change of layout: {found.old} old, {found.new} new, "
            f"{len(found.between)} between, {found.changed_data} with changed events, "
            f"{found.bad_backups} bad backups"
        )
        for words in found.between[:3]:
            print(f"    {words}")
        return not (found.between or found.changed_data or found.bad_backups)

    def put_back(self, url: str) -> Callable[[], None]:
        server = self.server
        if server is None:
            path = Path(url.removeprefix("sqlite:///"))
            kept = path.with_name("kept")
            shutil.copyfile(path, kept)

            def copy() -> None:
                for part in ("-wal", "-shm"):
                    path.with_name(path.name + part).unlink(missing_ok=True)
                shutil.copyfile(kept, path)

            return copy
        name, home = f"soak_{self.count}", server.url("postgres")
        make_database(home, f"{name}_kept", like=name)

        def make() -> None:
            drop_database(home, name)
            make_database(home, name, like=f"{name}_kept")

        return make

    def together(self, *, each: int = 2_500) -> bool:
        """K9: four write, one reads, for a long time."""
        url, data = self.place()
        waits: list[float] = []
        refused: list[str] = []
        over = threading.Event()
        with Store.open(url, data=data, backup=False) as store:
            job = store.import_folder(sample_folder("cannot-all"), who="office")

            def write(device: str) -> None:
                for n in range(1, each + 1):
                    made = shot(job, f"X{device}{n}", seq=n, device=device * 32)
                    began = time.perf_counter()
                    try:
                        store.keep([made])
                    except Exception as trouble:
                        refused.append(str(trouble))
                    waits.append(time.perf_counter() - began)

            def read() -> None:
                while not over.wait(0.005):
                    store.jobs()
                    store.version(job)

            reader = threading.Thread(target=read)
            writers = [threading.Thread(target=write, args=(device,)) for device in "abcd"]
            began = time.perf_counter()
            for thread in (reader, *writers):
                thread.start()
            for thread in writers:
                thread.join()
            took = time.perf_counter() - began
            over.set()
            reader.join()
            whole = store.version(job) == 4 * each + 1 and store.differing() == ()
        print(
            f"  K9: {4 * each} writes by 4 threads while one reads: {len(refused)} refused, "
            f"p50 {share_of(waits, 0.5) * 1000:.1f} ms, p99 {share_of(waits, 0.99) * 1000:.0f} ms, "
            f"{4 * each / took:.0f} a second; summary {'as told' if whole else 'DIFFERS'}"
        )
        return whole and not refused


if __name__ == "__main__":
    main()
