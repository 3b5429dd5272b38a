"""Floors of our own invention whose every height is known."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.oldslab.panels import Piece, side_of
from overslab.oldslab.process import Data
from overslab.shots.records import Heights, PointHeight

Floats = NDArray[np.float64]
Ground = Callable[[Floats], Floats]

FOOT_M, INCH_M, YARD3_M3 = 0.3048, 0.0254, 0.9144**3


def heights_of(
    xy_m: Floats,
    height_m: Floats,
    *,
    covariance_m2: Floats | None = None,
    convention: str = "metric",
    kind: str = "floor",
) -> Heights:
    """Heights as the room of shots would give them; 1 mm independent error by default."""
    count = len(height_m)
    if covariance_m2 is None:
        covariance_m2 = np.eye(count) * 0.001**2
    points = tuple(
        PointHeight(
            point=f"P{number + 1}",
            kind=kind,  # type: ignore[arg-type]
            x_m=float(xy_m[number, 0]),
            y_m=float(xy_m[number, 1]),
            height_m=float(height_m[number]),
            standard_error_m=float(np.sqrt(covariance_m2[number, number])),
            readings=1,
            setups=("1",),
            lines=(number + 2,),
        )
        for number in range(count)
    )
    return Heights(
        points=points,
        covariance_m2=covariance_m2,
        setups=(),
        misclosures=(),
        variance_factor=None,
        redundancy=0,
        suspects=(),
        bumps=(),
        collimation=None,
        convention=convention,
        assumptions=(),
        remarks=(),
        workings=(),
    )


def grid(*, width_m: float, depth_m: float, columns: int, rows: int, margin_m: float) -> Floats:
    x, y = np.meshgrid(
        np.linspace(margin_m, width_m - margin_m, columns),
        np.linspace(margin_m, depth_m - margin_m, rows),
    )
    return np.column_stack([x.ravel(), y.ravel()])


def data_of(xy_m: Floats, height_m: Floats, covariance_m2: Floats, pieces: Sequence[Piece]) -> Data:
    return Data(
        xy_m=xy_m,
        panel=side_of(pieces, xy_m),
        height_m=height_m,
        covariance_m2=covariance_m2,
        centre_m=np.array([piece.polygon.centroid.coords[0] for piece in pieces]),
        base_m=float(height_m.mean()),
    )


@dataclass(frozen=True)
class KnownFloor:
    """Panels, the true ground, and shots of it with error and texture."""

    pieces: tuple[Piece, ...]
    ground: Ground
    data: Data


def dish(rng: np.random.Generator, width_m: float, depth_m: float) -> Ground:
    deep = rng.uniform(0.01, 0.08)
    return lambda xy: (
        -deep * (1 - (2 * xy[:, 0] / width_m - 1) ** 2) * (1 - (2 * xy[:, 1] / depth_m - 1) ** 2)
    )


def tilt_and_hollow(rng: np.random.Generator, width_m: float, depth_m: float) -> Ground:
    tilt, deep, wide = rng.normal(0, 0.008, 2), rng.uniform(0.01, 0.06), rng.uniform(1.0, 2.5)
    middle = rng.uniform(0.2, 0.8, 2) * [width_m, depth_m]
    return lambda xy: xy @ tilt - deep * np.exp(-((xy - middle) ** 2).sum(axis=1) / (2 * wide**2))


def sine_waves(rng: np.random.Generator, _width_m: float, _depth_m: float) -> Ground:
    wave, phase = rng.uniform(2.5, 8.0, 2), rng.uniform(0, 2 * np.pi, 2)
    high, tilt = rng.uniform(0.002, 0.012), rng.normal(0, 0.008, 2)
    return lambda xy: xy @ tilt + high * np.sin(2 * np.pi * xy / wave + phase).prod(axis=1)


def random_waves(rng: np.random.Generator, _width_m: float, _depth_m: float) -> Ground:
    """A random field of smoothness 3/2 or 5/2 by its spectrum, which is Student's t."""
    count, length = 400, rng.uniform(0.8, 5.0)
    high, tilt = np.exp(rng.normal(np.log(0.008), 0.7)), rng.normal(0, 0.008, 2)
    degrees = 3.0 if rng.random() < 0.5 else 5.0
    waves = rng.standard_normal((count, 2)) / length
    waves /= np.sqrt(rng.chisquare(degrees, (count, 1)) / degrees)
    phase = rng.uniform(0, 2 * np.pi, count)
    return lambda xy: (
        xy @ tilt + high * np.sqrt(2 / count) * np.cos(xy @ waves.T + phase).sum(axis=1)
    )


SHAPES = (dish, tilt_and_hollow, sine_waves, random_waves)


def known_floor(rng: np.random.Generator, kind: int) -> KnownFloor:
    """Kinds 0 to 3 are ``SHAPES``; kind 4 is any of them cracked, the far side tipped and sunk."""
    width_m, depth_m = rng.uniform(5, 10, 2)
    shape = SHAPES[int(rng.integers(4)) if kind == 4 else kind](rng, width_m, depth_m)
    if kind == 4:
        at, step, tilt = (
            rng.uniform(0.3, 0.7) * width_m,
            rng.normal(0, 0.012),
            rng.normal(0, 0.006, 2),
        )
        pieces = (
            Piece("A", "panel", shapely.box(0, 0, at, depth_m)),
            Piece("B", "panel", shapely.box(at, 0, width_m, depth_m)),
        )

        def ground(xy: Floats) -> Floats:
            return np.asarray(shape(xy) + (xy[:, 0] > at) * (step + xy @ tilt))

    else:
        pieces, ground = (Piece("A", "panel", shapely.box(0, 0, width_m, depth_m)),), shape
    across = int(rng.integers(5, 7))
    xy = grid(
        width_m=width_m, depth_m=depth_m, columns=across, rows=across, margin_m=rng.uniform(0, 0.5)
    )
    xy = np.clip(xy + rng.normal(0, 0.1, xy.shape), 0.02, [width_m - 0.02, depth_m - 0.02])
    own, common, texture = rng.uniform(0.0005, 0.002), 0.0005, rng.uniform(0.0003, 0.0015)
    count = len(xy)
    shot = ground(xy) + rng.normal(0, own, count) + rng.normal(0, texture, count)
    shot += rng.normal(0, common)
    covariance = np.eye(count) * own**2 + common**2
    return KnownFloor(pieces, ground, data_of(xy, shot, covariance, pieces))
