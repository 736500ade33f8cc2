"""A real git repository for a test: files written, committed, branched, by git itself."""

import os
import subprocess
from pathlib import Path

# Whoever runs the tests keeps their own settings out of it; names and days are the same everywhere.
_SURROUNDINGS = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_AUTHOR_NAME": "m-07",
    "GIT_AUTHOR_EMAIL": "m-07@example.org",
    "GIT_COMMITTER_NAME": "m-02",
    "GIT_COMMITTER_EMAIL": "m-02@example.org",
    "GIT_AUTHOR_DATE": "2026-06-01T10:00:00Z",
    "GIT_COMMITTER_DATE": "2026-06-01T10:00:00Z",
}


class Repository:
    """A folder under git."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self.git("init", "--quiet", "--initial-branch=main")

    def git(self, *arguments: str) -> str:
        """Call git in the folder; give what it says, without the line end."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
        command = ["git", "-C", str(self.folder), *arguments]
        done = subprocess.run(command, check=True, capture_output=True, text=True, env={**kept, **_SURROUNDINGS})
        return done.stdout.rstrip("\n")

    def put(self, name: str, text: str | bytes) -> None:
        """Write a file, with the folders that it needs."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())

    def commit(self, message: str) -> str:
        """Commit all that is in the folder; give the commit's id."""
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "--message", message)
        return self.git("rev-parse", "HEAD")
