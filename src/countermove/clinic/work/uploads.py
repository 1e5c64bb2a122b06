"""
Force files on their way in: read with limits before anything is kept, asked about, or refused.

A file whose reader has a question waits in its own folder, and is gone after a day.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from typing import Any

from django.contrib import messages
from django.contrib.sessions.backends.base import SessionBase
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from countermove.clinic.accounts.models import User
from countermove.clinic.people.consents import against_testing
from countermove.clinic.visits.convert import standing
from countermove.clinic.visits.load import keep_recording
from countermove.clinic.visits.models import Recording, Visit
from countermove.clinic.work.jump_forms import SettleForm
from countermove.clinic.work.jump_trials import MOST_BYTES, options_of
from countermove.errors import AmbiguousRecording, BadInput, CountermoveError
from countermove.jumps import analyse_jumps
from countermove.record import JumpKind
from countermove.recordings import parse_force

WAITING = "waiting"
WAITS = timedelta(days=1)  # our default: long enough to ask whoever exported the file


@dataclass(frozen=True, kw_only=True)
class Taken:
    """A recording, and whether it was there already."""

    recording: Recording
    is_new: bool


def take(
    visit: Visit,
    kind: JumpKind,
    name: str,
    data: bytes,
    *,
    options: dict[str, Any],
    by: User,
    sent_as: uuid.UUID,
) -> Taken:
    """
    Keep a recording, once it was read and holds a jump; the same file is kept once.

    Raises
    ------
    AmbiguousRecording
        If the reader has a question; `flag` names what settles it.
    RecordingError, BadInput
        If it cannot be used, or no consent for testing stands; the message says why.
    """
    there = same_file(visit, data)
    if there is not None:
        return Taken(recording=there, is_new=False)
    unagreed = against_testing(visit.athlete, localdate())
    if unagreed:
        raise BadInput(f"{unagreed}.")
    analyse_jumps(parse_force(data, name=name, options=options_of(options)), kind=kind)
    try:
        with transaction.atomic():
            there = same_file(visit, data)
            if there is not None:
                return Taken(recording=there, is_new=False)
            row = keep_recording(
                visit, kind, name[-200:], data, by, options=options, sent_as=sent_as
            )
    except IntegrityError:  # the same send, a moment earlier
        return Taken(recording=Recording.objects.get(sent_as=sent_as), is_new=False)
    return Taken(recording=row, is_new=True)


def same_file(visit: Visit, data: bytes) -> Recording | None:
    """Give the athlete's recording with the same bytes, whatever visit it belongs to."""
    theirs = Recording.objects.filter(visit__athlete=visit.athlete)
    same = standing(theirs.filter(sha256=sha256(data).hexdigest()))
    return same.select_related("visit").first()


def let_wait(data: bytes) -> str:
    """Put the bytes of a file aside and give the word they go by."""
    sweep()
    word = uuid.uuid4().hex
    default_storage.save(f"{WAITING}/{word}", ContentFile(data))
    return word


def waiting(word: str) -> bytes | None:
    """Give the bytes that wait under a word; None if their day is over."""
    try:
        with default_storage.open(f"{WAITING}/{word}", "rb") as file:
            return bytes(file.read())
    except FileNotFoundError:
        return None


def forget(word: str) -> None:
    """Throw a waiting file away."""
    default_storage.delete(f"{WAITING}/{word}")


def sweep() -> None:
    """Throw away what has waited longer than a day."""
    if not default_storage.exists(WAITING):
        return
    for name in default_storage.listdir(WAITING)[1]:
        if timezone.now() - default_storage.get_modified_time(f"{WAITING}/{name}") > WAITS:
            forget(name)


@dataclass(frozen=True, kw_only=True)
class Said:
    """What became of one file, in words."""

    level: int
    text: str


@dataclass(frozen=True, kw_only=True)
class Question:
    """A file that waits, what its reader asked, and the form that settles it."""

    word: uuid.UUID
    name: str
    text: str
    form: SettleForm
    flag: str

    def asked(self) -> list[Any]:
        """Give the fields that the question is about."""
        return self.form.asked(self.flag)

    def others(self) -> list[Any]:
        """Give the other fields."""
        return self.form.others(self.flag)


class Desk:
    """Where one person's files of one visit are taken in; what waits is kept in the session."""

    def __init__(self, session: SessionBase, visit: Visit, by: User) -> None:
        self.session = session
        self.visit = visit
        self.by = by

    def take_all(
        self, files: Iterable[UploadedFile[Any]], kind: JumpKind, sent_as: uuid.UUID
    ) -> Iterator[Said]:
        """Take files, each on its own: one that is broken does not keep the others out."""
        for file in files:
            name = str(file.name)
            if (file.size or 0) > MOST_BYTES:
                yield _too_large(file)
                continue
            data = file.read()
            own = uuid.uuid5(sent_as, sha256(data).hexdigest())
            yield self._take(name, kind, data, {}, own)

    def _take(
        self, name: str, kind: JumpKind, data: bytes, options: dict[str, Any], own: uuid.UUID
    ) -> Said:
        try:
            taken = take(self.visit, kind, name, data, options=options, by=self.by, sent_as=own)
        except AmbiguousRecording as error:
            self._ask(data, name, kind, options, error, own)
            return Said(level=messages.WARNING, text=_said(name, _("has a question.")))
        except CountermoveError as error:
            return Said(level=messages.ERROR, text=_said(name, _("not kept: %s") % error))
        if taken.is_new:
            return Said(level=messages.SUCCESS, text=_said(name, _("read and kept.")))
        on = taken.recording.visit.date
        return Said(level=messages.INFO, text=_said(name, _("on record already, of %s.") % on))

    def _ask(
        self,
        data: bytes,
        name: str,
        kind: JumpKind,
        options: dict[str, Any],
        error: AmbiguousRecording,
        own: uuid.UUID,
    ) -> None:
        """Let a file wait; the same file, sent again, waits once."""
        digest = sha256(data).hexdigest()
        for word, one in self._held().items():
            if one["sha256"] == digest:
                self.drop(word)
        waits = {
            "sha256": digest,
            "visit": str(self.visit.key),
            "name": name,
            "kind": kind.value,
            "options": options,
            "text": str(error),
            "flag": error.flag,
            "own": str(own),
        }
        self.session[WAITING] = {**self.session.get(WAITING, {}), let_wait(data): waits}

    def _held(self) -> dict[str, dict[str, Any]]:
        every: dict[str, dict[str, Any]] = self.session.get(WAITING, {})
        return {word: one for word, one in every.items() if one["visit"] == str(self.visit.key)}

    def holds(self, word: str) -> bool:
        """Tell whether a file waits under this word, for this visit and person."""
        return word in self._held()

    def questions(self) -> Iterator[Question]:
        """Give what waits, with its form."""
        for word, one in self._held().items():
            initial = SettleForm.initial_from(one["options"])
            yield Question(
                word=uuid.UUID(word),
                name=one["name"],
                text=one["text"],
                flag=one["flag"],
                form=SettleForm(initial=initial, auto_id=f"id_{word[:8]}_%s"),
            )

    def drop(self, word: str) -> None:
        """Throw a waiting file away."""
        forget(word)
        every = self.session.get(WAITING, {})
        self.session[WAITING] = {one: every[one] for one in every if one != word}

    def try_again(self, word: str, options: dict[str, Any]) -> Said:
        """Read a waiting file with answers; a further question makes it wait on."""
        one, data = self._held()[word], waiting(word)
        self.drop(word)
        if data is None:
            gone = _("waited for more than a day and was thrown away; choose it again.")
            return Said(level=messages.ERROR, text=_said(one["name"], gone))
        kind, own = JumpKind(one["kind"]), uuid.UUID(one["own"])
        return self._take(one["name"], kind, data, options, own)


def _said(name: str, what: str) -> str:
    return f"{name}: {what}"


def _too_large(file: UploadedFile[Any]) -> Said:
    megabytes = (file.size or 0) / 2**20
    what = _("%(met).0f MB, the limit is %(most).0f MB; export the part with the jumps.") % {
        "met": megabytes,
        "most": MOST_BYTES / 2**20,
    }
    return Said(level=messages.ERROR, text=_said(str(file.name), what))
