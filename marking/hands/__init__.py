"""Who does the work: this process, others that help it, or a cluster. Functions and items in, outcomes out, in order.

Never knows what the work is. Nothing heavy is loaded by whoever works alone.
"""

from marking.hands.cluster import cluster
from marking.hands.shared_work import Begun, Hands, Shared, hands

__all__ = ["Begun", "Hands", "Shared", "cluster", "hands"]
