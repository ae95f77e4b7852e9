"""Stage 2, resolve: ids to things, who rests on what, references that lead nowhere."""

from builder.resolve.library import Library, Subject, resolve
from builder.resolve.reference import Node, Reference, claim_node, find_references

__all__ = ["Library", "Node", "Reference", "Subject", "claim_node", "find_references", "resolve"]
