"""Drying: how wet, how long, and does the repair dry.

Ask ``open_drying`` how many days an opened place needs, ``year`` and ``compare`` how a wall fares
through a year, ``capacity`` how much leakage it can lose, ``band`` how sure that is, ``wood`` what
a meter reading means, ``condensation`` what the monthly method says. The march itself is compiled
on first use (``kernel``), which takes some seconds once.
"""
