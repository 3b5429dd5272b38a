"""Where jobs may not lie: folders that another program copies, and other machines' disks.

The database needs one machine and true locks. This looks at names and at the kind of the disk; a
clever set-up gets past both.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

# Folder names by which programs that copy folders are known, and the marks they leave in them.
_SYNCED = re.compile(
    r"(dropbox|onedrive( - .+)?|google ?drive|my drive|icloud ?drive|com~apple~clouddocs|"
    r"mobile documents|nextcloud|owncloud|seafile|syncthing|pcloud ?drive|mega(sync)?|box( sync)?)",
    re.IGNORECASE,
)
_MARKS = (".stfolder", ".dropbox", ".dropbox.cache", ".csync_journal.db", ".owncloudsync.log")
_FAR = re.compile(
    r"nfs\d?|cifs|smb\d?|smbfs|afpfs|webdav|davfs2?|ncpfs|ceph|glusterfs|lustre|beegfs|afs|"
    r"drvfs|vboxsf|prl_fs|fuse\.(sshfs|rclone|davfs2?|glusterfs|vmhgfs-fuse|s3fs|gvfsd-fuse)"
)


def unfit(folder: Path) -> str | None:
    """Why jobs may not lie in this folder, in words; None when nothing speaks against it."""
    here = Path.cwd() / folder
    for path in {here, here.resolve()}:
        for one in (path, *path.parents):
            if _SYNCED.fullmatch(one.name) or any((one / mark).exists() for mark in _MARKS):
                return f"{one.name or one} is kept the same by a program that copies folders"
    kind = _kind_of_disk(here.resolve())
    if kind is not None and _FAR.fullmatch(kind):
        return f"it is a disk of another machine ({kind})"
    return None


def _kind_of_disk(path: Path) -> str | None:
    if sys.platform == "win32":
        return _windows_kind(path)
    try:
        if sys.platform == "darwin":
            told = subprocess.run(
                ["/sbin/mount"], capture_output=True, text=True, timeout=5, check=False
            ).stdout
            mounts = re.findall(r" on (.+) \(([^,)]+)", told)
        else:
            mounts = _linux_mounts(Path("/proc/self/mountinfo").read_text(encoding="utf-8"))
    except (OSError, subprocess.SubprocessError):
        return None
    holding = [(len(point), kind) for point, kind in mounts if path.is_relative_to(point)]
    return max(holding)[1] if holding else None


def _linux_mounts(text: str) -> list[tuple[str, str]]:
    found = []
    for line in text.splitlines():
        left, _, right = line.partition(" - ")
        fields = left.split()
        if len(fields) >= 5 and right:
            point = re.sub(r"\\(\d{3})", lambda octal: chr(int(octal[1], 8)), fields[4])
            found.append((point, right.split()[0]))
    return found


def _windows_kind(path: Path) -> str | None:
    if str(path).startswith("\\\\"):
        return "smb"
    import ctypes

    windll = getattr(ctypes, "windll", None)
    remote = 4  # DRIVE_REMOTE, Windows API
    if windll is not None and windll.kernel32.GetDriveTypeW(path.anchor) == remote:
        return "smb"
    return None
