"""Why the system refuses something, as a value; in English the commonest reasons read as the system has them."""

import errno

from pipemodel.messages.values import Value, Word, bare, message

_KNOWN = {
    errno.ENOENT: "none",
    errno.EACCES: "denied",
    errno.EPERM: "denied",
    errno.EISDIR: "folder",
    errno.ENOTDIR: "no folder",
    errno.ENOSPC: "full",
    errno.EROFS: "read only",
    errno.EEXIST: "there",
    errno.ENAMETOOLONG: "long",
    errno.EADDRINUSE: "in use",
    errno.EIO: "broken",
}


def refused(error: OSError) -> Value:
    """Return why the system refused, in its own words where none of ours are there."""
    known = _KNOWN.get(error.errno or 0)
    return bare(error.strerror or str(error)) if known is None else message("refused", why=Word(known))
