"""Results kept on disk: nothing is computed twice, and nothing is lost when a run is killed.

`question.py` says when two results answer the same question, and writes designs as keys; `record.py`
turns a result into text and back; `store.py` keeps them in SQLite; `sqlite_faults.py` says what is wrong
with a store. `table.py` lists results as rows of a CSV. `keep.py` writes designs as files of bikes,
with values changed where they stand or put in by `text_with.py`.
"""
