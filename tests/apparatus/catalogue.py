"""Which bench belongs to which practical."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from tests.apparatus.bench import Bench
from tests.apparatus.characteristic import characteristic_bench
from tests.apparatus.density import cuboid_bench, displacement_bench
from tests.apparatus.heat import block_bench, liquid_bench
from tests.apparatus.resistors import resistor_bench
from tests.apparatus.wire import wire_bench

BENCHES: dict[str, Callable[[Random], Bench]] = {
    "density-cuboid": cuboid_bench,
    "density-displacement": displacement_bench,
    "iv-characteristic": characteristic_bench,
    "resistor-combinations": resistor_bench,
    "specific-heat-block": block_bench,
    "specific-heat-liquid": liquid_bench,
    "wire-resistance": wire_bench,
}
