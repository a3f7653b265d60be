"""The chat with keys, driven by a pipe in place of a keyboard."""

from typing import Any

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.data_structures import Size
from prompt_toolkit.document import Document
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from backstay.faces.keys import Offers, make_session, shortened, with_keys
from backstay.faces.talk import Talk
from backstay.reply.layout import columns


class Screen(DummyOutput):
    """Keeps what is written, and is as wide as told."""

    def __init__(self, wide: int = 80) -> None:
        self.wide = wide
        self.written = ""

    def write(self, data: str) -> None:
        self.written += data

    def get_size(self) -> Size:
        return Size(rows=24, columns=self.wide)


def typed(talk: Talk, keys: str, wide: int = 80) -> str:
    """Type these keys into a talk, then leave it."""
    screen = Screen(wide)
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=screen):
        pipe.send_text(keys + "\x04")
        with_keys(talk, input=pipe, output=screen)
    return screen.written


@pytest.fixture(autouse=True)
def ordinary_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")


def test_enter_sends_and_the_answer_is_printed(talk: Talk) -> None:
    assert "said: clean" in typed(talk, "clean\r")


def test_ctrl_d_leaves_with_a_word(talk: Talk) -> None:
    assert talk.words.say("chat-bye") in typed(talk, "")


def test_bye_leaves(talk: Talk, echo: Any) -> None:
    typed(talk, "bye\rclean\r")
    assert echo.heard == []


def test_ctrl_c_drops_the_line_and_never_the_talk(talk: Talk, echo: Any) -> None:
    written = typed(talk, "half a wor\x03clean\r")
    assert echo.heard == ["clean"]
    assert talk.words.say("chat-leave") not in written


def test_ctrl_c_twice_on_an_empty_line_says_how_to_leave(talk: Talk, echo: Any) -> None:
    written = typed(talk, "\x03\x03clean\r")
    assert written.count(talk.words.say("chat-leave")) == 1
    assert echo.heard == ["clean"]


def test_ctrl_c_in_an_answer_drops_the_answer(talk: Talk, echo: Any) -> None:
    written = typed(talk, "interrupt\rclean\r")
    assert talk.words.say("chat-dropped") in written
    assert echo.heard == ["interrupt", "clean"]


def test_a_paste_of_several_lines_is_one_message(talk: Talk, echo: Any) -> None:
    typed(talk, "\x1b[200~bird dog 3x10\r\nplank 3x30s\nrow 4x8\x1b[201~\r")
    assert echo.heard == ["bird dog 3x10 plank 3x30s row 4x8"]


def test_alt_enter_breaks_the_line(talk: Talk, echo: Any) -> None:
    typed(talk, "one\x1b\rtwo\r")
    assert echo.heard == ["one two"]


def test_the_width_is_that_of_now(talk: Talk, echo: Any) -> None:
    typed(talk, "clean\r", wide=40)
    assert echo.widths == [40]


def test_the_line_at_the_bottom_fits_any_width() -> None:
    for room in range(1, 60):
        assert columns(shortened("5 weeks to the meet · 腰痛 · pain: yes", room)) <= room


def offered(talk: Talk, line: str) -> list[str]:
    return [
        found.text for found in Offers(talk).get_completions(Document(line), CompleteEvent(completion_requested=True))
    ]


def test_tab_offers_exercises_by_their_beginning(talk: Talk) -> None:
    assert offered(talk, "how do I do bird") == ["bird dog"]
    assert offered(talk, "how do I do dead b") == ["dead bug"]
    assert offered(talk, "xyzzy") == []


def test_tab_offers_places_in_the_body_and_in_the_lift(talk: Talk) -> None:
    assert offered(talk, "it hurts in my lower") == ["lower back"]
    assert offered(talk, "it hurts past") == ["past the knee"]
    assert offered(talk, "in the back s") == ["back squat"]


def test_tab_offers_answers_first(talk: Talk) -> None:
    talk.turn("ask")
    assert offered(talk, "")[:2] == ["yes", "no"]
    assert offered(talk, "y") == ["yes"]


def test_history_is_of_this_sitting_only(talk: Talk, tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=Screen()):
        assert type(make_session(talk).history) is InMemoryHistory
    typed(talk, "clean\r")
    assert list(tmp_path.iterdir()) == []
