"""Tickets tie a sheet to one learner, one exercise and the drawn numbers, signed with the class secret."""

import hashlib
import hmac
import json
import re

from thermo_kit.errors import SheetError

LEARNER_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}")
TICKET = re.compile(r"([A-Za-z0-9][A-Za-z0-9_-]{0,31})\.([0-9a-f]{64})")


def issue_ticket(secret, learner, case):
    """A ticket for a learner's case."""
    message = json.dumps(["ticket 1", learner, case.fingerprint]).encode()
    return f"{learner}.{hmac.new(secret, message, hashlib.sha256).hexdigest()}"


def learner_of(ticket):
    """The learner named on a ticket; nothing is verified."""
    if not ticket:
        return ""
    match = TICKET.fullmatch(ticket)
    if not match:
        raise SheetError.about("the ticket", "is not whole", advice="use the notebook as your instructor handed it out")
    return match[1]


def verify_ticket(secret, ticket, case):
    """Check that a ticket was issued for exactly this exercise and these numbers."""
    learner = learner_of(ticket)
    if not learner:
        limit, advice = "because it comes from self-study", "let the learner use the notebook that was handed out"
        raise SheetError.about("the sheet", "carries no ticket", limit, advice)
    if not hmac.compare_digest(ticket.encode(), issue_ticket(secret, learner, case).encode()):
        told = "does not fit the exercise and numbers on the sheet,"
        limit = "so one of them was altered, or it is from another class"
        advice = "ask the learner for the sheet as the notebook saved it"
        raise SheetError.about(f"the ticket of {learner}", told, limit, advice)
    return learner
