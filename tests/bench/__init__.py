"""What the shop costs beside the least it could cost: `python3 manage.py bench`.

Each file `rows_*.py` measures one thing and registers it with `@row`. Ours and the floor are taken turn by turn in the
same process, so that a busy machine slows both alike; the median is kept.
"""
