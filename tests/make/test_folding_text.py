"""folding.txt: Marram's folds in their order, with faces and angles known from its design."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from foldwright.airframe.model import Airframe, JointShown, Note, Placed
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.path import folding_order
from foldwright.make.folding_text import WIDTH, folding_text
from tests.make.evaluations import marram, results
from tests.make.sheet_samples import u_box, workshop

TITLES = {
    "wing/main": "the wing, folded from one blank",
    "body/tray": "tray",
    "body/motor-former": "motor former (bulkhead)",
    "fin/right": "fin, right",
}


def airframe(shop: str = "school-laser") -> Airframe:
    """Marram's, with some titles as its parts give them."""
    return replace(results(marram(shop)).airframe, titles=TITLES)


def text(shop: str, **changes: Any) -> str:
    made = marram(shop)
    return folding_text(made.design, replace(airframe(shop), **changes), made.workshop).decode("utf-8")


def joined(words: str) -> str:
    return " ".join(words.split())


def test_every_fold_is_there_in_the_order_it_is_made_hinges_last() -> None:
    for shop in ("school-laser", "home-knife", "club-sheets"):
        said = text(shop)
        for placed in results(marram(shop)).airframe.placed:
            blank = placed.blank
            made = [fold.name for fold in folding_order(blank)]
            hinges = [fold.name for fold in blank.folds if fold.method == "live"]
            section = said[said.index(f"\n{blank.name}\n---") :] if blank.folds else said
            at = [section.index(f"{k:2d}. {name}:") for k, name in enumerate([*made, *hinges], 1)]
            assert at == sorted(at)
            assert blank.name in said


def test_the_wing_says_face_angle_and_way() -> None:
    """Design: crease on the outside, ridge grooved on the inside, nose slit from outside, folded over."""
    said = joined(text("home-knife"))
    assert "Folding Marram, revision A, at Dune Lane kitchen table" in said
    assert "The wing, folded from one blank. Face A is the outside." in said
    ridge = said[said.index(" ridge: groove, 21°.") : said.index(" nose:")]
    assert "Opened (cut) on face B; the paper of face A is the hinge." in ridge
    assert "By hand: cut along both lines at a slant; the cuts meet under the marked line" in ridge
    assert "Turn front towards face B; it closes." in ridge
    nose = said[said.index(" nose: slit, 169°.") : said.index(" elevon-left:")]
    assert "Opened (cut) on face A; the paper of face B is the hinge." in nose
    assert "With a knife, cut along the line down to the far paper." in nose
    assert "Turn strip towards face B; it opens wide." in nose
    hinge = said[said.index(" elevon-right:") : said.index("body/main")]
    assert "hinge (live), flat at rest, clears 30° towards face B (down)." in hinge
    assert "By hand: bevel the flap from the marked line to the bottom of the cut." in hinge


def test_a_laser_that_stops_at_the_paper_leaves_the_slanted_cuts_to_a_hand() -> None:
    said = joined(text("school-laser"))
    floor = said[said.index(" floor/right: groove, 90°.") : said.index(" floor/left:")]
    assert "The laser has cut it to the far paper. By hand: cut both flanks at a slant" in floor
    assert "With a knife" not in said


def test_a_fold_too_slight_for_its_lines_is_one_cut() -> None:
    knife, laser = joined(text("home-knife")), joined(text("school-laser"))
    slight = knife[knife.index(" right/right-2: groove, 4°.") : knife.index(" left/left-2:")]
    assert "one upright cut along the line down to the far paper; no foam comes out" in slight
    assert "its edges press together" in slight
    assert "The laser has cut it to the far paper; no foam comes out." in laser


def test_other_methods_and_cutters() -> None:
    design = marram().design
    for method, said in (
        ("crush", "Opened (pressed) on face B"),
        ("crush", "By hand: press the band between the lines."),
        ("rebate", "With a knife, cut along both lines down to the far paper."),
        ("rebate", "By hand: lift out the strip between the cuts."),
    ):
        blunt = workshop(cutter__to_paper=False)
        blank = u_box(method)  # type: ignore[arg-type]
        one = Placed("fuselage", blank, transforms(blank))
        words = joined(folding_text(design, replace(airframe(), placed=(one,)), blunt).decode())
        assert said in words
        assert "The laser has cut" not in words


def test_flat_parts_say_which_way_round() -> None:
    """The tray's upper face is A; the right fin's A looks away from the centre line."""
    said = joined(text("club-sheets"))
    assert 'body/tray: Tray. Built in, face A looks up and the edge lettered "front" points forward.' in said
    assert "body/motor-former: Motor former (bulkhead). Built in, face A looks aft" in said
    assert 'fin/right: Fin, right. Built in, face A looks right and the edge lettered "front"' in said


def test_plain_text_wrapped_with_cautions() -> None:
    for shop in ("school-laser", "home-knife"):
        said = text(shop)
        assert max(len(line) for line in said.splitlines()) <= WIDTH
        assert not any(line != line.rstrip() for line in said.splitlines())
        assert said.endswith("local ones.\n")
        cautions = joined(said[said.index("Cautions\n") :])
        assert "- Blades: cut away from your fingers" in cautions
        assert "- Lasers: foam and paper burn" in cautions
        assert said == text(shop)


def test_a_blank_without_a_title_goes_by_its_name() -> None:
    assert "Fin/right: " not in text("school-laser")
    assert "fin/right: Fin/right." in joined(text("school-laser", titles={}))


def test_joints_show_both_parts_and_what_squares_them() -> None:
    seat = JointShown(
        "seat", "band_on", ("wing", "body"),
        ("wing/main: 2 notches",), ("body/main left: seat", "4 dowel holes"),
        glued=False, figures={"front_edge_mm": 182.04, "incidence_deg": 2.0, "bands": 6.0},
    )  # fmt: skip
    said = joined(text("school-laser", joints=(seat,)))
    assert "Joints ------ - seat: band on, wing to body; comes off." in said
    assert "On wing: wing/main: 2 notches. On body: body/main left: seat; 4 dowel holes." in said
    assert "Figures: front edge 182 mm, incidence 2°, bands 6." in said
    assert "Joints" not in text("school-laser", joints=())


def test_notes_stand_with_their_blank_or_besides() -> None:
    """Any code of the catalogue may be a note; S01's words are known."""
    size = {"width": 1, "height": 2}
    notes = (Note("S01", "wing/main", size), Note("S01", "fin/right", size), Note("S01", "the sky", size))
    said = joined(text("school-laser", notes=notes))
    wing = said[said.index("The wing, folded from one blank") : said.index("body/main")]
    assert "* wing/main needs a sheet of at least 1 x 2 mm" in wing
    flat = said[said.index("Flat parts") : said.index("Besides")]
    assert "fin/right needs a sheet" in flat
    assert "Besides ------- - the sky: the sky needs a sheet" in said
