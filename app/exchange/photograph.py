"""Photographs from anybody: looked at with suspicion, made small, stripped of all but the picture.

What comes out is a JPEG of at most 1600 pixels a side, upright, without place, maker or time.
"""

import io
import warnings

import pillow_heif
from PIL import Image, ImageCms, ImageFile, ImageOps

from app.exchange.sheets import MB, refusal

MOST_MB = 30
MOST_MEGAPIXELS = 80
LONGEST_PX = 1600
QUALITY = 85
KINDS = ("JPEG", "PNG", "WEBP", "HEIF")
_SHRINKS = {"L", "LA", "RGB", "RGBA", "CMYK"}
_SAID = {"exif", "xmp", "comment", "icc_profile", "photoshop", "mp", "XML:com.adobe.xmp"}

pillow_heif.register_heif_opener(thumbnails=False)


def cleaned(data: bytes) -> bytes:
    """Return a photograph as the program keeps it; one that it has cleaned before stays as it is.

    Parameters
    ----------
    data
        The bytes of a JPEG, PNG, WebP or HEIC file, from whomever.

    Raises
    ------
    Refused
        If it is no such picture, is damaged, or has too many pixels: then it is not decoded.
    """
    if len(data) > MOST_MB * MB:
        size = f"{len(data) / MB:.0f} MB"
        raise refusal("the photograph", f"{size} are too many; {MOST_MB} MB at most")
    # The paper's library lets half a picture pass for the whole of it, for all that use Pillow.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _cleaned(data)
    except Image.DecompressionBombError:
        # told before its size is: it is more than twice too large
        words = f"it has far more than {MOST_MEGAPIXELS} million pixels, so make it smaller"
        raise refusal("the photograph", words) from None
    except _TooLarge as error:
        raise refusal("the photograph", str(error)) from None
    except Exception as error:  # Whatever the decoders stumble over in bytes from anywhere.
        words = "it can't be read; choose a JPEG, PNG, WebP or HEIC picture that opens elsewhere"
        raise refusal("the photograph", words) from error


class _TooLarge(ValueError):
    """A picture with more pixels than are decoded."""


def _cleaned(data: bytes) -> bytes:
    with Image.open(io.BytesIO(data), formats=KINDS) as picture:
        width, height = picture.size
        megapixels = width * height / 1e6
        if megapixels > MOST_MEGAPIXELS:
            raise _TooLarge(
                f"{width} by {height} pixels ({megapixels:.0f} million) are too many; "
                f"{MOST_MEGAPIXELS} million at most, so make it smaller"
            )
        if _is_clean(picture):
            picture.load()
            return data
        picture.draft("RGB", (2 * LONGEST_PX, 2 * LONGEST_PX))
        ImageOps.exif_transpose(picture, in_place=True)
        if (
            picture.mode in _SHRINKS
        ):  # Before it is copied: a large one takes hundreds of megabytes.
            picture.thumbnail((2 * LONGEST_PX, 2 * LONGEST_PX))
        small = _flat(picture)
        small.thumbnail((LONGEST_PX, LONGEST_PX))
        written = io.BytesIO()
        small.save(written, "JPEG", quality=QUALITY, optimize=True)
        return written.getvalue()


def _is_clean(picture: Image.Image) -> bool:
    """Tell whether a picture has only what this program leaves in it."""
    return (
        picture.format == "JPEG"
        and picture.mode == "RGB"
        and max(picture.size) <= LONGEST_PX
        and _SAID.isdisjoint(picture.info)
        and [name for name, _ in getattr(picture, "applist", [("?", b"")])] == ["APP0"]
    )


def _flat(picture: Image.Image) -> Image.Image:
    """Return a picture in the usual colours, on white where it was clear, and nothing beside it."""
    picture = _usual_colours(picture)
    if picture.has_transparency_data:
        clear = picture.convert("RGBA")
        picture = Image.new("RGB", clear.size, "white")
        picture.paste(clear, mask=clear.getchannel("A"))
    flat = Image.new("RGB", picture.size)
    flat.paste(picture.convert("RGB"))
    return flat


def _usual_colours(picture: Image.Image) -> Image.Image:
    """Return a picture in sRGB; where its own colours can't be made sense of, as they are."""
    told = picture.info.get("icc_profile")
    if not told or picture.mode not in ("RGB", "RGBA", "CMYK"):
        return picture
    try:
        own = ImageCms.ImageCmsProfile(io.BytesIO(told))
        mode = "RGBA" if picture.mode == "RGBA" else "RGB"
        made = ImageCms.profileToProfile(
            picture, own, ImageCms.createProfile("sRGB"), outputMode=mode
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return made if made is not None else picture
