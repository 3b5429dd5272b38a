"""The pages of the rooms: the list of jobs, a page a room, facts, tops, paper, history."""

from overslab.faces.web.roles import RoleRouter
from overslab.faces.web.rooms import (
    facts_pages,
    history_pages,
    jobs_pages,
    paper_pages,
    room_pages,
    settle_pages,
    top_pages,
)

router = RoleRouter()
for _group in (
    jobs_pages,
    facts_pages,
    room_pages,
    top_pages,
    settle_pages,
    paper_pages,
    history_pages,
):
    router.routes.extend(_group.router.routes)

__all__ = ["router"]
