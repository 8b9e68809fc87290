from submissions.models.clips import Clip, Upload
from submissions.models.demonstrations import DemonstrationClip
from submissions.models.queue import Review, ReviewNote, Submission

__all__ = ["Clip", "DemonstrationClip", "Review", "ReviewNote", "Submission", "Upload"]
