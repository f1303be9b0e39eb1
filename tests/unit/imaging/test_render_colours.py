"""The colours of pictures that are handed over: as scanned, with the profile, or turned into
sRGB."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageCms
from support.given_over import GAMMA, PLAIN, WIDE, handed, middles, opened, shades, wide_profile

from tagger.core.model.pose import Pose
from tagger.imaging.scan.render_side import ImageOptions, picture_file


def test_a_profile_is_kept_as_it_is_and_the_pixels_with_it(tmp_path):
    shades().save(tmp_path / "a.png", icc_profile=wide_profile())
    made = opened(handed(tmp_path, "a.png"))
    assert made.info["icc_profile"] == wide_profile()
    assert np.abs(middles(made) - middles(shades())).max() <= 3


def by_formula(levels: np.ndarray) -> np.ndarray:
    """Levels of WIDE as those of sRGB: through XYZ, then the curve of IEC 61966-2-1, 5.2. No level
    is out of reach."""
    linear = (levels / 255) ** GAMMA @ np.array(WIDE) @ np.linalg.inv(np.array(PLAIN))
    linear = np.clip(linear, 0, 1)
    return 255 * np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


def test_colours_are_turned_into_srgb(tmp_path):
    """Beside littleCMS asked by its shorter way, and beside the published formulas."""
    shades().save(tmp_path / "a.png", icc_profile=wide_profile())
    made = opened(handed(tmp_path, "a.png", srgb=True))
    source, target = (
        ImageCms.getOpenProfile(io.BytesIO(wide_profile())),
        ImageCms.createProfile("sRGB"),
    )
    other = ImageCms.profileToProfile(
        shades(), source, target, ImageCms.Intent.RELATIVE_COLORIMETRIC
    )
    assert np.abs(middles(made) - middles(other)).max() <= 3
    assert np.abs(middles(made) - by_formula(middles(shades()))).max() <= 4
    assert np.abs(middles(made) - middles(shades())).max() > 15  # the profile does matter
    said = ImageCms.getOpenProfile(io.BytesIO(made.info["icc_profile"]))
    assert "sRGB" in ImageCms.getProfileDescription(said)


def test_colours_that_are_not_red_green_and_blue_become_srgb_with_its_profile(tmp_path):
    lab = Image.merge("LAB", [Image.new("L", (64, 64), level) for level in (140, 170, 90)])
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))
    lab.save(tmp_path / "a.tif", icc_profile=profile.tobytes())
    made = opened(handed(tmp_path, "a.tif"))
    expected = ImageCms.profileToProfile(
        lab, profile, ImageCms.createProfile("sRGB"), outputMode="RGB"
    )
    assert np.abs(np.asarray(made, int) - np.asarray(expected, int)).max() <= 3
    assert "sRGB" in ImageCms.getProfileDescription(
        ImageCms.getOpenProfile(io.BytesIO(made.info["icc_profile"]))
    )


@pytest.mark.parametrize(
    "profile", [b"x" * 300, wide_profile()[:200], wide_profile(b"link"), wide_profile(b"abst")]
)
@pytest.mark.parametrize("srgb", [False, True])
def test_a_profile_that_is_none_is_left_out(tmp_path, profile, srgb):
    shades().save(tmp_path / "a.png", icc_profile=profile)
    made = opened(handed(tmp_path, "a.png", srgb=srgb))
    assert np.abs(middles(made) - middles(shades())).max() <= 3
    assert made.info.get("icc_profile", b"") != profile


def test_sides_of_two_profiles_are_joined_in_srgb(tmp_path):
    shades().save(tmp_path / "f.png", icc_profile=wide_profile())
    shades().save(tmp_path / "b.png")
    made = opened(
        picture_file(
            tmp_path, (("f.png", Pose()), ("b.png", Pose())), ImageOptions(quality=100, joined=True)
        )
    )
    left, right = made.crop((0, 0, 128, 128)), made.crop((made.width - 128, 0, made.width, 128))
    assert np.abs(middles(left) - by_formula(middles(shades()))).max() <= 5
    assert np.abs(middles(right) - middles(shades())).max() <= 4
