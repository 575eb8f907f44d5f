"""From evidence to chances, and from chances to the next question. Plain values; knows nothing of experta."""
