"""``overslab calc`` as a process of its own, against the start of the interpreter.

A sample of formulas from every side of the handbook, taken in turn with the bare interpreter in one
run, so that a busy machine slows both alike; least of the rounds. The limit is a quarter of a
second of its own work; a formula above it ends the run with a fault.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

ROUNDS = 5
LIMIT_S = 0.25
SAMPLE = (
    ("drop_over_run", "slope=1/8 in/ft", "run_m=10 ft"),
    ("evaporation_menzel_us", "concrete_c=80F", "air_c=70F", "humidity_share=50%",
     "wind_m_per_s=10 mph"),
    ("mixing_water_us", "slump_m=4 in", "stone_m=3/4 in", "air_entrained=yes"),
    ("strength_share_aci_209", "age_days=7", "curing=moist", "cement=Type I"),
    ("equivalent_age_arrhenius", "temperature_c=10;20;15", "spell_hours=12;12;24"),
    ("setting_time_by_20_f", "concrete_c=60F"),
    ("mix_temperature_us", "aggregate_kg=3300 lb", "aggregate_c=70F", "cement_kg=470 lb",
     "cement_c=150F", "water_kg=260 lb", "water_c=70F"),
    ("height_of_instrument", "benchmark_height_m=100'", "backsight_m=4' 11 1/2\""),
    ("needed_volume_m3", "in_place_m3=9.5 yd3", "loss_share=5%"),
    ("unit_weight_limit", "probability=0.975", "redundancy=5"),
    ("tau_critical", "redundancy=5", "significance=0.05"),
)  # fmt: skip


def seconds(command: tuple[str, ...]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def main() -> None:
    program = str(Path(sys.executable).with_name("overslab"))
    bare = (sys.executable, "-c", "pass")
    commands = {words[0]: (program, "calc", *words) for words in SAMPLE}
    commands["(every formula listed)"] = (program, "calc")
    least = dict.fromkeys(["", *commands], float("inf"))
    for _ in range(ROUNDS):
        for name, command in commands.items():
            least[""] = min(least[""], seconds(bare))
            least[name] = min(least[name], seconds(command))
    start = least.pop("")
    print(f"one formula, a process each, least of {ROUNDS} rounds")
    print(f"{'overslab calc ...':28}{'s':>7}{'own work, s':>14}{'of the interpreter':>20}")
    print(f"{'the interpreter alone':28}{start:7.3f}")
    for name, time_s in least.items():
        print(f"{name:28}{time_s:7.3f}{time_s - start:14.3f}{time_s / start:20.1f}")
    slow = [words[0] for words in SAMPLE if least[words[0]] - start > LIMIT_S]
    if slow:
        sys.exit(f"above {LIMIT_S} s of own work: {', '.join(slow)}")


if __name__ == "__main__":
    main()
