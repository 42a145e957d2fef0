"""Commands on what is selected: several at once, copies, patterns, and the line's own tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from framer.desk.menus import in_menu

if TYPE_CHECKING:
    from framer.desk.window import Window

NOTHING = "nothing is selected"


class Arranging:
    """What the menu does with the things in hand; every command is one step."""

    def __init__(self, window: Window) -> None:
        self.window = window

    def on_delete(self) -> None:
        """Take the selected things out of the job."""
        bridge = self.window.bridge
        if bridge is None or not bridge.selection:
            return
        from framer.edits.arrange import deleted
        from framer.edits.things import carried_by

        job, keys = bridge.job, bridge.selection
        more: set[str] = set()
        for key in keys:
            more |= carried_by(job, key) if key in job.item_by_id else set()
        count = len(more - set(keys))
        what = job.label(keys[0]) if len(keys) == 1 else f"{len(keys)} things"
        words = f"delete {what}"
        on = "it" if len(keys) == 1 else "them"
        with_it = f", and {count} thing{'s' * (count > 1)} on {on}" if count else ""
        problem = bridge.do(words, lambda job: deleted(job, keys))
        self.window.say(problem or f"{words}{with_it}; undo brings it back")

    def on_duplicate(self) -> None:
        """Put the selected things in once more, beside themselves."""
        bridge = self.window.bridge
        if bridge is None:
            return
        from framer.edits.clip import duplicated
        from framer.errors import FramerError

        keys = bridge.selection
        try:
            _, made = duplicated(bridge.job, keys)
        except FramerError as problem:
            self.window.say(str(problem))
            return
        what = self._what(keys)
        problem_text = bridge.do(f"duplicate {what}", lambda job: duplicated(job, keys)[0])
        if not problem_text:
            bridge.select_all(made[: sum(key in bridge.job.item_by_id for key in keys)])
        self.window.say(problem_text or f"{what} once more: drag or type it to its place")

    def on_mirror(self) -> None:
        """Put the selected things on the other side of their arm or pole."""
        bridge = self.window.bridge
        if bridge is None:
            return
        from framer.edits.arrange import mirrored

        keys = bridge.selection
        what = self._what(keys)
        problem = bridge.do(f"mirror {what}", lambda job: mirrored(job, keys))
        self.window.say(problem or f"{what}: on the other side now")

    def on_select_level(self) -> None:
        """Select everything at the level of what is selected."""
        bridge = self.window.bridge
        if bridge is None:
            return
        from framer.edits.arrange import level_of

        key = bridge.selected
        keys = [one for one in level_of(bridge.job, key) if one != key]
        bridge.select_all((*keys, key))
        count = len(bridge.selection)
        more = "; drag one, or use the arrow keys, to move all" if count > 1 else ""
        self.window.say(f"{count} thing{'s' * (count > 1)} at this level{more}")

    def on_copy(self) -> None:
        """Copy the selected things to the clipboard, as text that any job takes."""
        bridge = self.window.bridge
        if bridge is None:
            return
        from framer.edits.clip import copied, copied_keys
        from framer.errors import FramerError
        from framer.files.clip import clip_text

        try:
            fragment = copied(bridge.job, bridge.selection)
            text = clip_text(fragment)
        except FramerError as problem:
            self.window.say(str(problem))
            return
        QApplication.clipboard().setText(text)
        count = len(copied_keys(fragment))
        things = f"{count} thing{'s' * (count > 1)}"
        self.window.say(f"{things} copied; paste them here, in another job or another window")

    def on_paste(self) -> None:
        """Put in what was copied: on what is selected, or where it was."""
        bridge = self.window.bridge
        if bridge is None:
            return
        from framer.edits.clip import pasted
        from framer.errors import FramerError
        from framer.files.clip import clip_from

        onto = bridge.selected
        try:
            fragment = clip_from(QApplication.clipboard().text())
            _, made = pasted(bridge.job, fragment, onto)
        except FramerError as problem:
            self.window.say(str(problem))
            return
        words = f"paste {len(made)} thing{'s' * (len(made) > 1)}"
        problem_text = bridge.do(words, lambda job: pasted(job, fragment, onto)[0])
        if not problem_text:
            bridge.select_all(made)
        self.window.say(problem_text or f"{words}: drag or type them to their place")

    def on_frame_by(self) -> None:
        """Show the starting patterns in the stock."""
        table = self.window.table
        if table is not None:
            table.turn_to(1)
            table.stock.show_patterns()
            self.window.say("choose a pattern and press Enter; the whole head is put on the pole")

    def on_half_inches(self) -> None:
        """Drag on a grid of half inches instead of inches, or back."""
        bridge = self.window.bridge
        if bridge is None:
            return
        from framer.desk.bridge import HALF_STEP_IN, STEP_IN

        on = self.window.commands.is_on("half_inches")
        bridge.step_in = HALF_STEP_IN if on else STEP_IN
        self.window.say(f"dragging settles on {'half inches' if on else 'inches'}")

    def refresh(self) -> None:
        """Say what can be done with what is selected now, or why not."""
        bridge = self.window.bridge
        if bridge is None:
            return
        allow, keys, job = self.window.commands.allow, bridge.selection, bridge.job
        what = in_menu(self._what(keys))
        survey = [key for key in keys if key not in job.thing_by_id]
        gone = f"{job.label(survey[0])} is part of the survey" if survey else ""
        if len(keys) == 1 and survey:
            gone = "it is part of the survey"
        allow("delete", gone if keys else NOTHING, f"&Delete {what}".strip())
        items = [job.item_by_id[key] for key in keys if key in job.item_by_id]
        poles = [item for item in items if item.kind == "pole"]
        reason = "" if items else "wires and what was surveyed are not copied" if keys else NOTHING
        if poles:
            reason = f"{job.label(poles[0].id)} is a pole; copy what is on it"
        allow("copy", reason, f"&Copy {what if not reason else ''}".strip())
        allow("duplicate", reason, f"Dup&licate {what if not reason else ''}".strip())
        mirror = f"{job.label(poles[0].id)} has no other side" if poles else gone or reason
        allow("mirror", mirror if keys else NOTHING)
        level = "" if bridge.selected in job.thing_by_id else gone or NOTHING
        allow("select_level", level)

    def _what(self, keys: tuple[str, ...]) -> str:
        bridge = self.window.bridge
        if bridge is None or not keys:
            return ""
        return bridge.job.label(keys[0]) if len(keys) == 1 else f"{len(keys)} things"

    def on_lines(self) -> None:
        """Circuits, spans, phases and nearby wires in tables."""
        from framer.desk.dialogs.line_tables import LineTables

        self.window.show_dialog("lines", LineTables)
