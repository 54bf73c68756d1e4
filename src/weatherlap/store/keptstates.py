"""States that were put before the client: kept as they were, whatever is saved later."""

from __future__ import annotations

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.money.changeorders import check_seals
from weatherlap.run.changeorder import promises_of


def keep_states(before: Job, after: Job) -> None:
    """Refuse a job in which a state that was kept is changed or gone.

    Raises
    ------
    InputError
        If a kept state is not as it was, or a new one does not follow from those before it.
    """
    for number, kept in enumerate(before.state):
        if after.state[number : number + 1] != (kept,):
            name = "the contract" if kept.number == 0 else f"change order {kept.number}"
            raise InputError(
                name,
                f"it was {kept.answer.value} by {kept.by or 'somebody'} on {kept.day}, and this "
                "step would change it or take it back",
                "states as they were kept",
                "Change the job and write a new change order down instead.",
            )
    if len(after.state) > len(before.state):
        check_seals(promises_of(after))
