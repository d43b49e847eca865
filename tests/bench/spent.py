"""Processor time, which tells more than the clock does where others work on the machine too."""

import os
import resource
from pathlib import Path


def children_s() -> float:
    """Return the processor seconds of all processes that were started here and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def load() -> str:
    """Tell how many others wanted a processor in the last minute."""
    return f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"


def process_s(pid: int) -> float:
    """Return the processor seconds of a process that runs (Linux: `man 5 proc`, utime + stime)."""
    after_its_name = Path(f"/proc/{pid}/stat").read_text("utf-8").rpartition(")")[2].split()
    return (int(after_its_name[11]) + int(after_its_name[12])) / os.sysconf("SC_CLK_TCK")
