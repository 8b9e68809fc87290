from submissions.models.clips import Clip, Upload
from submissions.models.queue import Review, ReviewNote, Submission

__all__ = ["Clip", "Review", "ReviewNote", "Submission", "Upload"]
