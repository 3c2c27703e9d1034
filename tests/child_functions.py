"""What children do in the tests: answer, tell of themselves, fail, crash, take too long or too much."""

import ctypes
import json
import os
import pickle
import sys
import time


def echo(request):
    return request[::-1]


def about(request):
    names = ("pickle", "json", "numpy")
    import numpy  # noqa: F401

    import pipemodel

    return json.dumps(
        {
            "cwd": os.getcwd(),
            "path": sys.path,
            "flags": [sys.flags.isolated, sys.flags.ignore_environment, sys.flags.no_user_site],
            "environment": sorted(name for name in os.environ if name.startswith("PYTHON")),
            "package": pipemodel.__file__,
            "files": {name: sys.modules[name].__file__ for name in names if name in sys.modules},
            "pid": os.getpid(),
        }
    ).encode()


def doze(request):
    time.sleep(0.4)
    return b"awake"


def chatter(request):
    print("much ado")
    os.write(1, b"straight to the file")
    return b"the answer"


def fail(request):
    raise ValueError("no such luck")


def leave(request):
    os._exit(3)


def crash(request):
    ctypes.string_at(8)


def sleep(request):
    time.sleep(60)
    return b""


def spin(request):
    """Work inside compiled code that lets no other thread of Python in, as a kernel does."""
    open(pickle.loads(request), "w").close()
    return b"%d" % sum(range(10**12))


def eat(request):
    return bytes(10**12)


def doubled(request):
    return b"%d" % (2 * pickle.loads(request))


def held(request):
    """What the system holds this process to, and what it makes of an interrupt."""
    import resource
    import signal

    return json.dumps(
        {
            "core": resource.getrlimit(resource.RLIMIT_CORE),
            "memory": resource.getrlimit(resource.RLIMIT_AS)[0],
            "processor": resource.getrlimit(resource.RLIMIT_CPU)[0],
            "spent": time.process_time(),
            "interrupt": signal.getsignal(signal.SIGINT) is signal.SIG_IGN,
            "threads": [os.environ.get(name) for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS")],
        }
    ).encode()


def burn(request):
    """Take processor time without end."""
    while True:
        pass


def wordless(request):
    raise KeyError
