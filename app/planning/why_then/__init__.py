"""Why a batch is when it is: what it serves, and what keeps it from being earlier or later."""
