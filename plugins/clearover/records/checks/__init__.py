"""Checks between records. In: everything `loading` read. Out: problems, each at its place."""
