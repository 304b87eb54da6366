"""The pressure trace of a bench run: a logger's file read, openings and holds found in it, held against the plan.

In the order of the work: `recognition` says how the file is laid out, for somebody to confirm; `reading` makes numbers
of it; `cleaning` sets aside what no gauge has seen; `openings` and `holds` find the events; `leak` turns a decay into
a flow; `against_plan` judges. Every rule that leaves something out is stated where it stands and in the answer.
"""
