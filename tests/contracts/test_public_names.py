"""What the library offers is named here: a new name is a decision, a lost one breaks somebody."""

import inspect

from shivelight.basis import errors
from shivelight.workbench.bench import Workbench

METHODS = """
    open close
    book_report book_backup book_export book_import
    kit add_body add_lens drop_from_kit
    woods wood add_wood change_wood add_access remove_wood attach_raster
    spots spot add_spot change_spot wish unwish remove_spot
    skyline set_skyline set_skyline_by_hand skyline_from_ground
    sun_on light_on dark_season season_carpet light_picture carpet_picture
    fetch_forecasts read_forecast enter_evening forecasts
    judge judged take write_sheet leave_word arrive
    log_found counts hindcast warm next_morning
    survey add_element change_element drop_element slope_ground import_elements export_elements
    stand wish_framing find_stand layers ruler_picture plan_picture frame_picture stair_picture
    mark note_mark lose_anchor forget_anchor find_mark confirm_mark mark_picture
    photo_facts keep_picture give_picture spot_from_photo spot_draft add_spot_from_photo
    pictures_of pictures_of_no_spot picture picture_bytes forget_picture
    detach_raster attach_uploaded keep_raster_file write_relief relief_of relief_overlay
    outlines_in outline_from draw_outline note_season season_notes drop_season_note
    keep_forecast evening_typed week spot_year spot_history logs last_outing
    sheet_page sheet_paper keep_word word_page word_paper word_text put_word_back
    stay take_back_found pair_device devices device_with forget_device
"""
ERRORS = """
    ShivelightError OutOfRangeError BadInputError MissingDataError UnreadableFileError
    UnwritableError NotFoundError
"""


def test_the_workbench_has_one_method_for_each_thing_a_person_does() -> None:
    missing = [name for name in METHODS.split() if not callable(getattr(Workbench, name, None))]
    assert missing == []


def test_every_public_method_of_the_workbench_is_documented() -> None:
    public = {name: one for name, one in inspect.getmembers(Workbench) if not name.startswith("_")}
    silent = [name for name, one in public.items() if callable(one) and not one.__doc__]
    assert silent == []


def test_the_tree_of_errors_is_the_one_that_shells_know() -> None:
    kinds = {
        name
        for name, one in vars(errors).items()
        if isinstance(one, type) and issubclass(one, errors.ShivelightError)
    }
    assert kinds == set(ERRORS.split())
