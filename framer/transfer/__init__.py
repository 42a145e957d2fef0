"""The transfer, step by step: what every stage between found and framed is like.

It reports what the steps do in the order they stand; it prescribes no order.
"""
