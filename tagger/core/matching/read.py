"""How a word was read."""

from __future__ import annotations

Read = tuple[float, str]  # a weight (natural logarithm), and what the word was read as
# The weight of a word that nothing on a card explains: such a card comes last, but it is shown.
UNREAD = -14.0
# what else it may be read as, and what that weighs
NUMBER = 0.0
# `12` for the 12a of a card that comes in two versions: lists give the letter, the card does not
# bear it. In a set without a 12 (our own estimate, no source).
NUMBER_LETTERED, LETTERED = -2.5, "number, without its letter"
NUMBER_START = -12.0  # half a number must not outweigh a whole one anywhere in the carried set
TEAM, SET_WORD, SERIES = -4.0, -1.5, -1.5
# a word that the list notes of a card which another word names, such as RC
NOTED, AS_NOTED = -4.0, "noted in the list"
CARRIED_SET_WORD = -12.0  # where it says nothing new
CARRIED_SET_LETTER = -9.0  # the same of one letter, beside a word that names the card

REPEATED, NUMBER_BEGUN = "set, as carried", "start of the number"
MISTYPED, PARALLEL_MISTYPED = "subject, mistyped", "parallel, mistyped"
SLIPS = frozenset({MISTYPED, PARALLEL_MISTYPED})
GUESSES = SLIPS | {REPEATED}
POOR = GUESSES | {NUMBER_BEGUN}  # readings that something else may be meant by
# readings that name a card by themselves
NAMING = frozenset({"number", LETTERED, "subject", "start of the subject", MISTYPED})
