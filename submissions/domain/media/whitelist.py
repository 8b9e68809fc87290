"""The only formats and codecs that are ever opened. Standard library only: the isolated inspection loads it too."""

FORMATS = "mov,matroska"
PROTOCOLS = "file"
VIDEO_CODECS = ("h264", "hevc", "vp8", "vp9", "av1", "prores", "mpeg4", "mjpeg")
AUDIO_CODECS = ("aac", "mp3", "opus", "vorbis", "alac", "pcm_s16le", "pcm_s16be", "pcm_s24le", "amrnb", "amrwb")
# Decoders that go by another name than their codec.
DECODERS = ",".join((*VIDEO_CODECS, *AUDIO_CODECS, "libdav1d", "mp3float", "libopus", "amr_nb", "amr_wb"))
MAX_PIXELS = 40_000_000
MAX_ALLOCATION_BYTES = 512 * 1024**2

# Names that ffmpeg's command line and its libraries share.
INPUT_OPTIONS = {
    "protocol_whitelist": PROTOCOLS,
    "format_whitelist": FORMATS,
    "codec_whitelist": DECODERS,
}
