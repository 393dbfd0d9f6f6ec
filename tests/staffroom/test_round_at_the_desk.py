"""A whole round on pages: drawn, marked a second time, ruled on, signed; the same record as by files."""

from __future__ import annotations

from tests.staffroom.serving import HEAD, TEACHERS, Served, press


def test_smoke(department: Served) -> None:
    """All pages come."""
    head = department.of(HEAD)
    page = head.get("/moderation").text
    answer = press(head, page, "", at="/moderation", practical="x", kind="sample", seed="7", boundaries="4,7,10")
    assert answer.status_code == 422
    practical = next(iter(department.room.shelf.sets())).rubric.id
    answer = press(head, page, "", at="/moderation", practical=practical, kind="sample", seed="7", boundaries="4,7,10")
    assert answer.status_code == 303, answer.text
    where = answer.headers["location"]
    assert head.get(where).status_code == 200
    fenn = department.of(TEACHERS[4])
    print(fenn.get("/second").text)
    for path in ("/", "/second", "/signatures", "/password"):
        assert fenn.get(path).status_code == 200, path
    assert department.of("Sam Reed").get("/benches").status_code == 200
