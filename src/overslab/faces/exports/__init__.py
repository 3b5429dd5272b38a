"""A walked job written out for other programs: calendar, tables, surfaces."""

from overslab.faces.exports.files import (
    FILES,
    FORMS,
    FileKind,
    asked_for,
    files_for,
    write_exports,
)

__all__ = ["FILES", "FORMS", "FileKind", "asked_for", "files_for", "write_exports"]
