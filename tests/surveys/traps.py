"""What tests do to workers: make one puzzle deadly, endless or faulty."""

import os

from deduce.deadline import in_time
from deduce.surveys import examine

DEADLY, ENDLESS, FAULTY = "deadly", "endless", "faulty"


def arm(line, how):
    """From now on, in this process, the puzzle with this text does something bad to its worker."""
    honest = examine._answers

    def trapped(asked, job):
        if asked.text == line:
            if how == DEADLY:
                os._exit(3)
            if how == FAULTY:
                raise ZeroDivisionError("a fault of the engine")
            if how == ENDLESS:
                while True:
                    in_time()
        yield from honest(asked, job)

    examine._answers = trapped


def pretend(name):
    """From now on this process says that it runs another engine."""
    examine.engine = lambda: name
