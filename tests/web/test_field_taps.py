"""The big pad: taps a shot takes, what is read back, asked about, put right, taken back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from field_site import (
    Laptop,
    Thumb,
    bay_texts,
    browser,
    kept_words,
    laptop,
    open_shots,
    phone,
    player,
    said,
    until,
)
from playwright.sync_api import Browser, Page, Playwright

# The bay's points in the order a crew walks them: up one line of the tape, down the next.
WALK = [
    f"{letter}{number}"
    for place, letter in enumerate("ABCDEF")
    for number in (range(1, 11) if place % 2 == 0 else range(10, 0, -1))
]


@pytest.fixture(scope="module")
def play() -> Iterator[Playwright]:
    with player() as made:
        yield made


@pytest.fixture(scope="module")
def chromium(play: Playwright) -> Iterator[Browser]:
    with browser(play) as opened:
        yield opened


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Laptop]:
    with laptop(tmp_path) as made:
        yield made


@pytest.fixture
def bay(desk: Laptop, chromium: Browser) -> Iterator[tuple[Page, str]]:
    job = desk.store.begin("Invented bay", who="office", texts=bay_texts())
    context = phone(chromium)
    yield open_shots(context, f"{desk.address}/field/{job}"), job
    context.close()


def floor_reading(label: str) -> tuple[int, int, int]:
    """An invented floor that falls across a foot mark: 3' 10 1/2" at A1, then lower."""
    letter, number = ord(label[0]) - ord("A"), int(label[1:]) - 1
    sixteenths = (3 * 12 + 10) * 16 + 8 + 9 * letter + 4 * number + (letter * number) % 3
    return sixteenths // 192, sixteenths // 16 % 12, sixteenths % 16


def benchmark_first(thumb: Thumb) -> None:
    assert thumb.shot(3, 6, 4) == "BM1"


def taps(page: Page) -> int:
    count: int = page.evaluate("window.taps ?? 0")
    return count


def test_sixty_shots_take_at_most_240_taps_and_the_grid_is_proposed(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    typed: list[tuple[str, str]] = []
    asked_for = []
    for _ in range(64):
        point = page.inner_text("#target-point")
        if point == "BM1":
            asked_for.append(len(typed))
            reading = (3, 6, 4)
        else:
            reading = floor_reading(point)
        before = taps(page)
        thumb.shot(*reading)
        assert taps(page) - before <= 4
        typed.append((point, said(*reading)))
    assert taps(page) <= 240
    assert [point for point, _ in typed if point != "BM1"] == WALK
    assert asked_for == [0, 21, 42, 63], "check shots are asked for at start, middle and end"
    assert page.inner_text("#target-words") == "the grid is full"
    until(lambda: desk.readings(job) == typed)
    kinds = [one.body["kind"] for one in desk.store.job(job).shots if one.body["point"] == "BM1"]
    assert kinds == ["benchmark", "check", "check", "check"]
    assert page.is_hidden("#ask"), "nothing is odd on this floor"
    assert "60 of 60 grid points shot" in page.inner_text("#map-words")
    assert page.locator("#map .m-shot").count() >= 60


def test_sixty_like_shots_take_120_taps(desk: Laptop, bay: tuple[Page, str]) -> None:
    page, job = bay
    thumb = Thumb(page)
    benchmark_first(thumb)
    thumb.shot(4, 7, 0)
    before = taps(page)
    for count in range(60):
        thumb.carried = (4, 7)
        thumb.shot(4, 7, count % 5)
    assert taps(page) - before == 120
    until(lambda: len(desk.readings(job)) == 62)


def test_a_new_foot_asks_for_its_inch_and_nothing_is_kept_before(bay: tuple[Page, str]) -> None:
    page, _ = bay
    thumb = Thumb(page)
    benchmark_first(thumb)
    thumb.tap('[data-part="0"][data-value="4"]')
    thumb.tap('[data-part="2"][data-value="6"]')
    thumb.tap("#keep")
    assert page.inner_text("#last-words") == "Tap the inches first."
    thumb.tap('[data-part="1"][data-value="7"]')
    thumb.tap("#keep")
    kept_words(page, "A1")
    assert "A1 4' 7 3/8\"" in page.inner_text("#last-words")
    # A second tap of a cold glove does nothing: the fraction is to be said anew.
    thumb.tap("#keep")
    assert page.inner_text("#last-words") == "Tap the fraction first."


def test_the_last_shot_is_read_back_large(bay: tuple[Page, str]) -> None:
    page, _ = bay
    thumb = Thumb(page)
    benchmark_first(thumb)
    kept_words(page, "BM1")
    size, weight = page.eval_on_selector(
        "#last", "e => [parseFloat(getComputedStyle(e).fontSize), +getComputedStyle(e).fontWeight]"
    )
    assert size >= 20
    assert weight >= 700
    assert page.get_attribute("#last-words", "role") == "status"
    assert 0 <= page.eval_on_selector("#last", "e => e.getBoundingClientRect().top") < 844


def test_the_last_shot_is_put_right_by_two_taps(desk: Laptop, bay: tuple[Page, str]) -> None:
    page, job = bay
    thumb = Thumb(page)
    benchmark_first(thumb)
    thumb.shot(4, 7, 6)
    before = taps(page)
    page.tap('[data-part="2"][data-value="7"]')
    page.tap("#instead")
    assert taps(page) - before == 2
    until(lambda: desk.readings(job) == [("BM1", said(3, 6, 4)), ("A1", said(4, 7, 7))])
    kinds = [one.event.kind for one in desk.store.events(job)][1:]
    assert kinds == ["shot-kept", "shot-kept", "shot-replaced"], "the first text stays readable"
    assert page.inner_text("#target-point") == "A2"


def test_undo_takes_back_one_after_the_other_also_after_a_new_start(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    benchmark_first(thumb)
    for sixteenths in (3, 5):
        thumb.shot(4, 7, sixteenths)
    page.tap('[data-part="2"][data-value="9"]')
    page.tap("#instead")
    until(lambda: desk.readings(job)[-1:] == [("A2", said(4, 7, 9))])
    page.reload()
    page.wait_for_selector("body[data-ready]")
    page.tap("#undo")
    until(lambda: desk.readings(job)[-1] == ("A2", said(4, 7, 5)))
    page.tap("#undo")
    until(lambda: desk.readings(job)[-1] == ("A1", said(4, 7, 3)))
    assert page.inner_text("#target-point") == "A2"
    page.tap("#undo")
    page.tap("#undo")
    until(lambda: desk.readings(job) == [])
    assert page.is_disabled("#undo")


def shoot_line(thumb: Thumb, count: int) -> None:
    benchmark_first(thumb)
    for label in WALK[:count]:
        assert thumb.shot(*floor_reading(label)) == label


def test_a_foot_too_much_is_asked_about_at_once_and_put_right_by_one_tap(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    shoot_line(thumb, 14)
    feet, inches, sixteenths = floor_reading(WALK[14])
    thumb.shot(feet + 1, inches, sixteenths)
    page.wait_for_selector("#ask:not([hidden])")
    words = page.inner_text("#ask-words")
    assert WALK[14] in words
    assert "A whole foot?" in words
    assert page.inner_text("#target-point") == WALK[15], "it asks and does not stand in the way"
    page.get_by_role("button", name=f"{said(feet, inches, sixteenths)} instead").tap()
    until(lambda: desk.readings(job)[-1] == (WALK[14], said(feet, inches, sixteenths)))
    assert page.is_hidden("#ask")


def test_a_shot_said_to_be_right_is_not_asked_about_again(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    shoot_line(thumb, 14)
    feet, inches, sixteenths = floor_reading(WALK[14])
    thumb.shot(feet, inches + 3, sixteenths)
    page.wait_for_selector("#ask:not([hidden])")
    assert page.locator("#map .m-odd").count() == 1
    page.get_by_role("button", name="It is right").tap()
    assert page.is_hidden("#ask")
    until(lambda: any(one.kind == "note" for one in desk.store.job(job).things))
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert page.locator("#map .m-odd").count() == 0
    assert desk.readings(job)[-1] == (WALK[14], said(feet, inches + 3, sixteenths))


def test_going_on_typing_is_allowed_and_leaves_the_mark(bay: tuple[Page, str]) -> None:
    page, _ = bay
    thumb = Thumb(page)
    shoot_line(thumb, 14)
    feet, inches, sixteenths = floor_reading(WALK[14])
    thumb.shot(feet, inches + 3, sixteenths)
    page.wait_for_selector("#ask:not([hidden])")
    thumb.shot(*floor_reading(WALK[15]))
    kept_words(page, WALK[15])
    assert page.is_hidden("#ask")
    assert page.locator("#map .m-odd").count() >= 1


def test_a_benchmark_that_reads_otherwise_may_be_the_grid_point(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    shoot_line(thumb, 20)
    assert page.inner_text("#target-point") == "BM1"
    thumb.shot(*floor_reading(WALK[20]))
    page.wait_for_selector("#ask:not([hidden])")
    assert "Has the laser moved?" in page.inner_text("#ask-words")
    page.get_by_role("button", name=f"It was {WALK[20]}").tap()
    until(lambda: desk.readings(job)[-1] == (WALK[20], said(*floor_reading(WALK[20]))))
    assert page.inner_text("#target-point") == "BM1", "the check is still due"


def test_later_puts_a_check_off_and_the_laser_moves_after_a_closing_check(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    page.tap("#skip-check")
    assert page.inner_text("#target-point") == "A1"
    thumb.shot(*floor_reading("A1"))
    page.tap("#target")
    page.tap("#laser-moved")
    assert page.inner_text("#target-point") == "BM1"
    thumb.shot(3, 6, 4)
    until(lambda: len(desk.readings(job)) == 2)
    assert page.inner_text("#target-point") == "BM1"
    assert "Set-up 2" in page.inner_text("#target-words")
    thumb.shot(3, 2, 0)
    until(lambda: [one.body["setup"] for one in desk.store.job(job).shots] == ["1", "1", "2"])


def test_a_point_with_a_name_of_its_own_needs_its_place(
    desk: Laptop, bay: tuple[Page, str]
) -> None:
    page, job = bay
    thumb = Thumb(page)
    benchmark_first(thumb)
    page.tap("#target")
    page.select_option("#c-wanted", label="S1, west door")
    assert page.inner_text("#c-fault").startswith("Where is S1?")
    page.fill("#c-x", "five")
    page.fill("#c-y", "0")
    page.get_by_role("button", name="Shoot this next").tap()
    assert "five cannot be read" in page.inner_text("#c-fault")
    page.fill("#c-x", "5' 0\"")
    page.get_by_role("button", name="Shoot this next").tap()
    thumb.shot(3, 10, 0)
    until(lambda: len(desk.readings(job)) == 2)
    body = desk.store.job(job).shots[-1].body
    assert (body["point"], body["kind"], body["x"], body["y"]) == ("S1", "sill", "5' 0\"", "0")
    assert page.inner_text("#target-point") == "A1"


def test_a_tap_on_the_map_takes_the_nearest_point(bay: tuple[Page, str]) -> None:
    page, _ = bay
    benchmark_first(Thumb(page))
    page.tap("#map-key")
    box = page.locator("#big-map").bounding_box()
    assert box
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    assert page.inner_text("#target-point") in {"C5", "C6", "D5", "D6"}
    assert page.is_visible("#pad")


def test_shots_by_keyboard_alone(desk: Laptop, bay: tuple[Page, str]) -> None:
    page, job = bay
    page.keyboard.type("3-6-1/4")
    page.keyboard.press("Enter")
    kept_words(page, "BM1")
    page.keyboard.type("4.61")
    page.keyboard.press("Enter")
    assert page.inner_text("#last-words").startswith("Write it like")
    assert page.input_value("#reading") == "4.61", "what was typed stays"
    page.keyboard.press("Escape")
    page.keyboard.type("4-7-3/8")
    page.keyboard.press("Enter")
    kept_words(page, "A1")
    until(lambda: desk.readings(job) == [("BM1", "3-6-1/4"), ("A1", "4-7-3/8")])
