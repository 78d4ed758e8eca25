"""What the worker of ``open`` answers: the commands' own answers, and nothing from outside the opened folder."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from cache_check.cli.live import answer
from cache_check.cli.live.question import Opened, Question, Reply, Task
from cli.running import ON, SAMPLES, cache_check

OPENED = Opened(
    rigs=(("rescue-41", "rescue-41.yaml"), ("rescue-44", "rescue-44.yaml")), needs="needs.yaml",
    prices=("prices.yaml",), on=ON[1], folder=str(SAMPLES),
)  # fmt: skip


def told(kind: str, question: Question = Question(), about: str = "", opened: Opened = OPENED) -> Reply:  # noqa: B008
    """A reply, the folder of this process left as it was."""
    import contextlib

    with contextlib.chdir(opened.folder):
        return answer.reply(Task(kind, opened, question, about))


@pytest.mark.parametrize(
    "question",
    [
        Question(),
        Question(without=("SB-01", "long-body=1")),
        Question(factor="4:1", extra=("strap=2",)),
        Question(rigs=("rescue-41", "rescue-44"), pool=True, settings=("EXT-2.max=20 in",), skip=("mixer",)),
    ],
)
def test_figures_are_the_commands(question: Question) -> None:
    """Law: each scene's verdict and count, and the number of findings, are those of the command that the page names."""
    page = told("ask", question)
    command = unescape(re.findall(r"<code>(.*?)</code>", page.html)[-1])
    import shlex

    whole = json.loads(cache_check(*shlex.split(command)[1:], "--format", "json").stdout)["answers"][0]
    assert page.ok
    for one in whole["scenes"]:
        for each in one["by_need"]:
            step = "(rated|assembled at once)"
            assert re.search(rf"{each['need']} {each['served']} of {each['wanted']} {step}", page.html)
        assert f">{one['verdict'].upper()}" in page.html
    assert f"{len(whole['findings'])} in all" in page.html


def test_what_is_wrong_stands_line_under_line_as_in_the_terminal() -> None:
    """A line shown with a mark under it is read only as it was laid out, so no line is a point of a list."""
    page = told("ask", Question(settings=("EXT-2.maxx=40 in", "EXT-99=off")))

    assert not page.ok
    assert re.search(r"<pre class=\"wrong\">command line: .*?\ncommand line: .*?</pre>", page.html)


def test_a_rig_that_is_not_open_is_not_answered_by_another() -> None:
    """An address that was kept, of a rig that is not among those opened now, had the first of them for its answer."""
    for rigs in (("truck-9",), ("rescue-41", "truck-9")):
        page = told("ask", Question(rigs=rigs))

        assert not page.ok
        assert "no rig &#39;truck-9&#39; is open here" in page.html


def test_a_piece_is_supposed_gone_by_its_serial() -> None:
    """One piece less of its part, whatever the case of the letters; more than one of a serial cannot be."""

    def usable(*more: str) -> int:
        made = cache_check("check", "rescue-41.yaml", *ON, *more, "--format", "json").stdout
        return next(
            int(p["usable"]) for p in json.loads(made)["answers"][0]["parts"] if p["part"].endswith("short-body")
        )

    assert usable("--without", "sb-01") == usable() - 1
    assert usable("--without", "SB-01", "--without", "short-body=1") == usable() - 2
    assert "one piece has that serial" in cache_check("check", "rescue-41.yaml", "--without", "SB-01=2").stderr


def test_the_finder_is_the_crew_pages() -> None:
    """Its facts and its script are those of the crew page, letter for letter."""
    crew, finder = told("crew").html, told("finder").html
    facts = re.findall(r"<script type=\"application/json\".*?</script>", crew, re.DOTALL)

    assert facts
    assert [one for one in facts if one in finder] == facts[:1]
    assert re.findall(r"script-src [^\"]*", crew) == re.findall(r"script-src [^\"]*", finder)


def test_why_names_rule_source_and_files() -> None:
    """Each struts' rule with its value and source, the files with their digests; a scene that is not there is said."""
    why = told("why", Question(settings=("STR-1.min=3",)), "1.car-on-side").html

    assert "STR-1 Straps or chains per base</td><td>min 3</td><td>common practice, no source" in why
    assert "rescue-41.yaml (" in why
    assert "EXT-2 Total extension length</td><td>max 32.0 in</td>" in why  # which its family's sheet sets, for 36
    assert "there is no scene" in told("why", about="1.no-such").html
    assert "there is no scene" in told("why", about="7.car-on-side").html


@pytest.mark.parametrize("kind", ["sets", "buy", "crew", "office"])
def test_every_part_is_of_the_question_asked(kind: str) -> None:
    """Law: of rigs taken as one, without a scene, so is whatever is shown below the answer, and it says so."""
    both = Question(rigs=("rescue-41", "rescue-44"), pool=True, skip=("mixer",))
    part = told(kind, both)

    assert "without the scene mixer" in told("ask", both).html
    assert part.ok
    assert "Rescue 41 + Rescue 44" in part.html
    assert "without the scene mixer" in re.sub(r"\s+", " ", part.html)
    assert "Loaded mixer" not in part.html


@pytest.mark.parametrize("kind", ["chart", "finder"])
def test_what_is_of_one_rig_alone_names_it(kind: str) -> None:
    """Of two rigs asked about, a part that is of the first says that it is."""
    assert "Rescue 41" in told(kind, Question(rigs=("rescue-41", "rescue-44"))).html.partition("<svg")[0]


def test_no_scene_left_is_no_want_of_needs() -> None:
    """With every scene left out the page does not say that needs were not opened; a count sheet is of a rig alone."""
    scenes = ("car-on-side", "van-or-truck", "mixer", "low-contact", "long-reach")
    none = Question(rigs=("rescue-41", "rescue-44"), pool=True, skip=scenes)

    assert "Every scene is left out: no scene is asked." in told("ask", none).html
    assert "Rescue 44: count sheet" in told("count", none).html


def test_of_several_rigs_each_supposes_its_own() -> None:
    """A serial or a part of one rig is taken out there; the other is answered as it is, and a name of none refused."""
    both = Question(rigs=("rescue-41", "rescue-44"), without=("SB-01",))
    first, second = told("ask", both).html.split("<section")[1:3]
    alone = told("ask", Question(rigs=("rescue-44",))).html.split("<section")[1]

    assert told("why", both, "2.car-on-side").ok
    assert "supposed: without piece SB-01" in first
    assert "supposed" not in second
    assert second.split("</section>")[0].count("<li") == alone.split("</section>")[0].count("<li")
    made = cache_check("check", "rescue-41.yaml", "truck-9.yaml", "--without", "Q-101", "--with", "body-34=1", *ON)
    assert made.returncode < 2
    assert "'SB-99' is not a part of Rescue 41" in told("ask", replace(both, without=("SB-99",))).html.replace(
        "&#39;", "'"
    )


@pytest.mark.parametrize("linked", ["rescue-41.yaml", "family-p.yaml", "needs.yaml"])
def test_no_link_leads_out_of_the_folder(tmp_path: Path, linked: str) -> None:
    """A rig, a family or needs that lie elsewhere by a symbolic link are not shown."""
    folder, elsewhere = tmp_path / "county", tmp_path / "elsewhere"
    shutil.copytree(SAMPLES, folder)
    elsewhere.mkdir()
    (folder / linked).rename(elsewhere / linked)
    (folder / linked).symlink_to(elsewhere / linked)
    page = told("ask", opened=replace(OPENED, folder=str(folder)))

    assert not page.ok
    assert "outside" in page.html or "does not lie in the folder" in page.html


def test_no_answer_depends_on_what_was_asked_before() -> None:
    """Law: whatever is kept between questions, each is answered as by a worker that was never asked before."""
    from cache_check.planning.packing import laid

    asked = [
        Question(without=without, extra=extra, settings=settings, rigs=("rescue-44",))
        for settings in ((), ("STR-1.min=1",), ("CAP-1.factor=4",), ("EXT-1.max=6", "EXT-2=off"))
        for without, extra in ((("strap=3",), ()), (("joint-pin=9",), ()), ((), ("extension-10=4", "joint-pin=30")))
    ]

    def page(question: Question, *, anew: bool) -> str:
        answer._ANSWERS._held.clear()
        if anew:
            laid._LATELY.clear()
        return told("ask", question).html

    assert [page(one, anew=False) for one in asked] == [page(one, anew=True) for one in asked]


def test_more_pieces_are_laid_out_anew() -> None:
    """What was laid out for few extensions is not taken for many, where a strut may hold them."""
    from cache_check.files.cache import read_cache
    from cache_check.files.rules import read_rules
    from cache_check.joining.assemblies import Joinery
    from cache_check.planning.packing.laid import laid

    book = read_rules((), said=("EXT-1.max=9", "EXT-2=off"))
    catalogue = read_cache(SAMPLES / "rescue-44.yaml", book).catalogue
    few, many = ({part.id: n for part in catalogue.parts} for n in (2, 4))

    assert laid(catalogue, few, book).assemblies < laid(catalogue, many, book).assemblies
    assert laid(catalogue, many, book).assemblies == Joinery(catalogue, many, book).count()
    assert laid(catalogue, dict(few), book) is laid(catalogue, few, book)


def test_a_rule_switched_off_is_said_once() -> None:
    """Beside its setting the page does not name it again without a word; one finding is not told in the plural."""
    page = told("ask", Question(settings=("STR-1=off",))).html
    [changed] = re.findall(r"<strong>Rules changed:</strong> (.*?)</p>", page)

    assert [one for one in changed.split("; ") if one.startswith("STR-1")] == ["STR-1: off (everywhere)"]
    assert not re.search(r"\b1 findings", page)


def test_more_pins_are_laid_out_anew() -> None:
    """Where a joint takes three pins, what was laid out for few is not taken for many."""
    from cache_check.files.cache import read_cache
    from cache_check.files.rules import read_rules
    from cache_check.joining.assemblies import Joinery
    from cache_check.planning.packing.laid import laid

    book = read_rules((), said=("PIN-1.per_joint=3",))
    catalogue = read_cache(SAMPLES / "rescue-44.yaml", book).catalogue
    few, many = ({part.id: n if part.kind == "pin" else 4 for part in catalogue.parts} for n in (6, 60))

    assert laid(catalogue, few, book).assemblies < laid(catalogue, many, book).assemblies
    assert laid(catalogue, many, book).assemblies == Joinery(catalogue, many, book).count()


def test_what_one_missing_makes_of_a_scene_is_said_once() -> None:
    """The verdict says that it is not met with one missing; the line below says why, and not the verdict again."""
    scenes = [one.partition("<details")[0] for one in told("ask").html.split("<article")[1:]]
    frail = [one for one in scenes if "one missing NOT MET" in one]

    assert [one.count("NOT MET") for one in frail] == [1, 1]
    assert ">one missing: 2 of 3 left, worst without one Flat fitting</p>" in frail[0]
