"""A talk keeps what is held from message to message, whatever a turn brings."""

from typing import Any

import pytest

from backstay.faces.talk import Talk


def test_what_is_held_goes_on_from_turn_to_turn(talk: Talk) -> None:
    assert talk.turn("clean") == "said: clean"
    talk.turn("snatch")
    assert talk.case.values("lift") == ("clean", "snatch")
    assert "clean" in talk.held()


@pytest.mark.parametrize("words", ["start over", "Start over!", "RESET", "forget everything"])
def test_starting_over_forgets_all(talk: Talk, words: str) -> None:
    talk.turn("clean")
    assert talk.turn(words) == talk.words.say("chat-new")
    assert talk.case.facts == ()
    assert talk.held() == talk.words.say("chat-held-nothing")


@pytest.mark.parametrize("words", ["bye", "Quit", "exit."])
def test_leaving_ends_it(talk: Talk, words: str) -> None:
    assert talk.turn(words) == talk.words.say("chat-bye")
    assert talk.over


def test_one_thing_can_be_forgotten(talk: Talk) -> None:
    talk.turn("clean")
    assert "clean" in talk.turn("forget the clean")
    assert talk.case.facts == ()
    assert talk.turn("forget the clean") == talk.words.say("chat-forgot-nothing")


def test_show_means_how_it_is_done(talk: Talk, echo: Any) -> None:
    talk.turn("show bird dog")
    talk.turn("show me dead bug")
    talk.turn("show me the way")
    assert echo.heard == [
        talk.words.say("chat-show", exercise="bird dog"),
        talk.words.say("chat-show", exercise="dead bug"),
        "show me the way",
    ]


def test_a_turn_that_goes_wrong_loses_nothing(talk: Talk) -> None:
    talk.turn("clean")
    said = talk.turn("break")
    assert "break" in said
    assert "clinician" in said
    assert talk.case.values("lift") == ("clean",)
    assert talk.turn("snatch") == "said: snatch"


def test_an_interrupted_turn_takes_nothing_in(talk: Talk) -> None:
    talk.turn("clean")
    with pytest.raises(KeyboardInterrupt):
        talk.turn("interrupt")
    assert talk.case.values("lift") == ("clean",)


def test_escapes_and_line_breaks_do_not_reach_the_answer(talk: Talk, echo: Any) -> None:
    talk.turn("\x1b[2Jclean\x07\r\n3 x 5\tsnatch")
    assert echo.heard == ["clean 3 x 5 snatch"]


def test_an_empty_line_is_no_message(talk: Talk, echo: Any) -> None:
    assert talk.turn("  \n") == ""
    assert echo.heard == []


def test_answers_to_the_question_just_asked_come_first(talk: Talk) -> None:
    talk.turn("ask")
    assert talk.completions()[:4] == ("yes", "no", "bird dog", "dead bug")
    talk.turn("clean")
    assert talk.completions()[:2] == ("bird dog", "dead bug")


def test_a_talk_writes_nothing(talk: Talk, tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    talk.turn("clean marker word")
    talk.turn("start over")
    assert list(tmp_path.iterdir()) == []
