"""Makes frames.json: frames that a library independent of this project packed and unpacked by panel.dbc.

The library is canmatrix 0.9.5, as Debian 12 has it: apt-get install python3-canmatrix
Run as: python3 frames.py > frames.json

For every message, counts go in and bytes come out (`data`); then bytes go in and values come out (`values`).
"""

import json
import pathlib
import random

from canmatrix import formats

HERE = pathlib.Path(__file__).parent
FRAMES = 6


def ends(signal):
    count = 1 << signal.size
    return (-count // 2, count // 2 - 1) if signal.is_signed else (0, count - 1)


def main():
    database = formats.loadp_flat(str(HERE / "panel.dbc"))
    random.seed(1)
    messages = []
    for frame in database.frames:
        # All at their lowest, all at their highest, then counts from anywhere between.
        picks = [lambda low, high: low, lambda low, high: high] + [random.randint] * (FRAMES - 2)
        rows = []
        for pick in picks:
            counts = {signal.name: pick(*ends(signal)) for signal in frame.signals}
            data = bytes(frame.encode(counts))
            decoded = frame.decode(data)
            assert {name: one.raw_value for name, one in decoded.items()} == counts
            values = {name: float(one.phys_value) for name, one in decoded.items()}
            rows.append({"data": data.hex(), "counts": counts, "values": values})
        messages.append(
            {
                "name": frame.name,
                "id": frame.arbitration_id.id,
                "extended": frame.arbitration_id.extended,
                "length": frame.size,
                "period": frame.effective_cycle_time,
                "comments": {signal.name: signal.comment for signal in frame.signals},
                "units": {signal.name: signal.unit for signal in frame.signals},
                "ranges": {signal.name: [float(signal.min), float(signal.max)] for signal in frame.signals},
                "frames": rows,
            }
        )
    print(json.dumps(messages, indent=1))


main()
