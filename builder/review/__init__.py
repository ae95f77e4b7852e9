"""The curators' review: a local web application, and a packet on paper, that show a piece with all it rests on.

In: a workspace, read anew whenever a file of it changes. Out: pages, and one file for each decision that is signed.
"""
