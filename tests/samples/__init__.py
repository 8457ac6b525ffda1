"""The sample books' generator: true rigs, honest readings of them, and the pages that come of it.

``python -m tests.samples`` writes ``sample_rigs`` again, the same to the byte.
"""
