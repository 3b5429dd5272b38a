"""The plan that can be tapped: values anywhere, layers, sections, and drawing on the floor."""

from overslab.faces.web.plan.routes import router

__all__ = ["router"]
