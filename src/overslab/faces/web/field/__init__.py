"""The field pages: shots with the big pad, readings, tickets and notes, what is kept where."""

from overslab.faces.web.field import actions, pages
from overslab.faces.web.roles import RoleRouter

router = RoleRouter()
router.routes.extend([*pages.router.routes, *actions.router.routes])

__all__ = ["router"]
