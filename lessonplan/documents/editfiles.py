"""The files for the editor besides the sheets: their names, what they are for, and the list of them on the index."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.edit.cues.heard import heard_once_cut
from lessonplan.edit.kept import spans_of
from lessonplan.edit.timing import shot_times
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class EditFiles:
    """Files of one episode that hold the same in several forms: (name with ``{}`` for its number, the form).

    ``of_video``: their times are those of the video, once captions of it are kept; else those of the timeline.
    ``once_cut``: they are of the video after all its cuts, and there only while some of these are not made.
    """

    title: str
    about: str
    forms: tuple[tuple[str, str], ...]
    of_video: bool = False
    once_cut: bool = False

    def names(self, episode: int) -> tuple[tuple[str, str], ...]:
        """Give the files of an episode: (name, form)."""
        return tuple((name.format(episode), form) for name, form in self.forms)

    def heading(self, plan: Plan, episode: int) -> str:
        """Give the title for an episode, with the clock of its times where that is not the video's."""
        if self.of_video and spans_of(plan, episode):
            return f"{self.title}, episode {episode}"
        filmed = all(one.real for one in shot_times(plan, episode))
        return f"{self.title}, episode {episode}, times {'of the timeline' if filmed else 'as planned'}"

    def is_there(self, plan: Plan, episode: int) -> bool:
        """Whether an episode has them."""
        return not self.once_cut or bool(heard_once_cut(plan, episode))


EDIT_FILES = (
    EditFiles(
        "Texts over the picture",
        "with their times, one after the other",
        (("cues-{}.vtt", "WebVTT"), ("cues-{}.srt", "SubRip"), ("cues-{}.csv", "table")),
        of_video=True,
    ),
    EditFiles(
        "Texts over the picture once all cuts are made",
        "instead of those above when all that is listed below is cut or sped up: what a cut takes out is not "
        "corrected, and what comes in with it is there",
        (("cues-{}-cut.vtt", "WebVTT"), ("cues-{}-cut.srt", "SubRip")),
        of_video=True,
        once_cut=True,
    ),
    EditFiles(
        "Draft captions",
        "the words as planned, to be put right by ear",
        (("captions-{}.vtt", "WebVTT"), ("captions-{}.srt", "SubRip")),
    ),
    EditFiles(
        "Chapters",
        "for the player, and to copy into the description",
        (("chapters-{}.vtt", "WebVTT"), ("chapters-{}.txt", "text")),
        of_video=True,
    ),
    EditFiles(
        "Timeline",
        "the shots in order with markers, for an editing program",
        (("timeline-{}.otio", "OpenTimelineIO"), ("timeline-{}.edl", "EDL (CMX 3600)")),
    ),
)
"""All files of an episode for its editor, in the order of the index."""
