"""Facts and rules to findings: forward chaining over a compiled program, proofs, why and why-not.

Knows nothing of backs: it would run rules on gardening.
"""
