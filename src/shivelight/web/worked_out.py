"""How each kind of number on a page is worked out, and where that comes from."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedOut:
    """One note: what is worked out, a few sentences, and the sources they rest on."""

    what: str
    sentences: tuple[str, ...]
    sources: tuple[str, ...]


WORKED_OUT: dict[str, WorkedOut] = {
    "chance": WorkedOut(
        what="the chance",
        sentences=(
            "Each forecast is a bundle of possible nights; a single forecast is spread into such "
            "a bundle by documented error sizes.",
            "For every one of them and every quarter hour it is asked whether all musts of the "
            "spot hold at once. The share of nights in which they do for 20 minutes together is "
            "the chance. Chances of single wishes are never multiplied: mist, cloud and sun hang "
            "together.",
            "It is said in tenths, since nothing finer is known at one place. From five of your "
            "own mornings on, your log speaks too, with its count.",
        ),
        sources=(
            "Mist: a logistic model of humidity, wind, cloud and the night's length, fitted to "
            "station reports; its score stands in docs/mist.md.",
            "Error sizes and their correlation in time: docs/models.md.",
        ),
    ),
    "strip": WorkedOut(
        what="the strip",
        sentences=(
            "Height of the mist: share of the bundle in which one sees less than a kilometre in "
            "that quarter hour. Its soft edge runs from 0.65 to 1.4 times as much: so far was the "
            "model's level off between the stations it was made from.",
            "The copper line stands where the sun's upper edge passes the skyline of the spot, "
            "with refraction. The bracket is the best span in which the wishes can be met; its "
            "broken roof reaches to the latest end seen.",
            "The leaves beneath lean by the wind at leaf height, worked out from the wind at 10 m "
            "in the open and the stand.",
        ),
        sources=(
            "Sun: the DE421 ephemeris through Skyfield; refraction after Bennett, as Meeus "
            "(Astronomical Algorithms, 2nd ed.) prints it.",
            "Wind at the leaf: shares by stand, from memory, right to a factor of two "
            "(docs/models.md).",
        ),
    ),
    "light": WorkedOut(
        what="the times of light",
        sentences=(
            "Direct light reaches a place when the upper edge of the sun, lifted by refraction, "
            "stands above its skyline there. Times are good to about ten seconds for the skyline "
            "as given; a degree in the skyline is some seven minutes in November.",
            "The skyline comes from a raster of heights with the earth's curve and refraction "
            "(k = 0.13), from heights typed by hand, or both: the higher counts. Where it is not "
            "known it is taken as level, and times there are too early.",
        ),
        sources=(
            "Sun: the DE421 ephemeris through Skyfield, apparent place; refraction after Bennett, "
            "as Meeus (Astronomical Algorithms, 2nd ed.) prints it.",
            "Crowns: Beer and Lambert along the path, leaf area by stand type (docs/models.md).",
        ),
    ),
    "carpet": WorkedOut(
        what="the carpet",
        sentences=(
            "Each column is a day, each cell a few minutes of the clock on the wall. Black is "
            "before civil dawn or after civil dusk, grey is light without sun on the spot, pale "
            "is sun, copper is sun where the wishes want it.",
            "Steps in the edges are the clock changes. Where crowns were worked out, sun of which "
            "they leave less than a twentieth is grey. The dates without direct sun leave crowns "
            "out.",
            "A day counts as one on which the wishes can be met when the sun is as wanted for 20 "
            "minutes together in the hours drawn, in season and with the usual leaf. Nothing is "
            "said here of mist, air, ground or sky.",
        ),
        sources=("As for the light; civil twilight ends at 6° under the level horizon.",),
    ),
    "walk": WorkedOut(
        what="the times backward",
        sentences=(
            "As you timed it by day. Where nothing was timed: the straight way and three tenths "
            "more, by Tobler's pace on the mean slope, slower in the dark.",
            "Set-out and alarm are counted back from the beginning of the window: setting up, "
            "walk, road, and the time you take from bed to car, as in the settings.",
        ),
        sources=(
            "W. Tobler, Three Presentations on Geographical Analysis, NCGIA 93-1 (1993).",
            "The three tenths are a judgement.",
        ),
    ),
    "counts": WorkedOut(
        what="the counts",
        sentences=(
            "Mornings in your log, as counts. Mist was 'said' when its chance was a half or more "
            "the evening before. A look made only because mist was seen is kept out.",
            "Under five of a kind no rate is said: too few.",
        ),
        sources=("Your own log. The rule of five is a judgement.",),
    ),
    "arrive": WorkedOut(
        what="the order",
        sentences=(
            "What was judged last evening is taken again with what you found put in the place of "
            "the forecast: mist, air and sky as tapped, the sun and the leaf as they were.",
            "Mist seen at sunrise lifts by the times said in 1, 5 and 9 of 10 cases of the "
            "stations that the model was fitted to.",
        ),
        sources=("docs/mist.md, with the score of the lifting.",),
    ),
    "forecast": WorkedOut(
        what="age and distance",
        sentences=(
            "The age is counted from when the service made it, where it says so, else from when "
            "it came here. The distance is from the place it was made for to the parking place.",
            "Forecasts are made for the open country near a town or a station, not for a hollow; "
            "the wood's hollow, water and height shift the mist, and your own log shifts it "
            "further.",
        ),
        sources=("The services' own terms and fields: docs/models.md.",),
    ),
    "relief": WorkedOut(
        what="the picture",
        sentences=(
            "Light and shade of the ground as the raster has it, lit from several sides, and "
            "lines of equal height. Nothing on it comes from a map.",
            "A place picked on it is read to about a pixel of the picture; heights are read "
            "between the cells of the raster.",
        ),
        sources=("Your own raster; the file is named beside the picture.",),
    ),
    "season": WorkedOut(
        what="the season",
        sentences=(
            "Stages of the leaf by typical dates of the stand; your own notes of a wood stand "
            "beside them. In the row under a carpet a mark is half as high on days when early and "
            "late years, eight days to either side, have another stage.",
        ),
        sources=("Usual days: from memory and judgement; docs/models.md says for which woods.",),
    ),
    "photo": WorkedOut(
        what="what the picture tells",
        sentences=(
            "Place, direction, focal length and time are read from the picture's own Exif. A "
            "phone's fix under trees is commonly out by 5 to 15 m, its compass by 10° or more.",
            "A magnetic direction is turned to true north by the World Magnetic Model.",
        ),
        sources=(
            "CIPA DC-008 (Exif). WMM2025, for 2025 to 2029. The error sizes are common practice.",
        ),
    ),
    "survey": WorkedOut(
        what="places and doubts",
        sentences=(
            "A trunk stands where its angle off the lens axis and its distance put it; a tape "
            "that ends at the bark has half the width added.",
            "Doubts are standard errors by how it was measured: a taped length 1 in 100 and at "
            "least a centimetre, a paced one 1 in 20, an angle in degrees 0.5°, one spanned by "
            "hand 1°, a compass bearing 2°. Who knows better types their own after ±.",
        ),
        sources=("All of these sizes are judgements.",),
    ),
    "photo_marks": WorkedOut(
        what="the distances",
        sentences=(
            "The foot of a trunk lies on the ground of the survey, so its height in the picture, "
            "the height of the lens and the tilt give its distance; a known width gives it once "
            "more. Where both are there they are weighed by their errors, and where they "
            "contradict each other that is said.",
            "Each error is carried through: of the tap (larger the smaller the picture was "
            "drawn), of the lens height, of the tilt, of the focal length, of the ground. A foot "
            "above the level horizon, a mark 3 px narrow and a distance that may be half out are "
            "refused.",
        ),
        sources=(
            "JCGM 100:2008, the law of propagation. The sizes of the single errors are "
            "judgements.",
        ),
    ),
    "photo_pair": WorkedOut(
        what="the distances",
        sentences=(
            "The same points are found on both pictures, and how the two cameras stood to each "
            "other comes out of them; your step gives the size. What lies on a marked trunk gives "
            "its distance, with the error that the pixels, the turn of the cameras and the step "
            "leave.",
            "Two pictures from one place, a step too short for the distance, a picture too dark "
            "or too blurred, and two that show nothing in common are refused with the reason.",
        ),
        sources=("Pinhole perspective. The error of a taped step, 2 cm, is a judgement.",),
    ),
    "mark": WorkedOut(
        what="the place",
        sentences=(
            "What you measure now is held against what was noted on the mark, and the place that "
            "fits all of it best, each by its error, is where you stand. The oval holds the true "
            "place in 2 of 3 tries, if the errors are as said.",
            "Where three or more contradict each other, the one that does not fit is named and "
            "left out; with two distances there are two such places, and both are said.",
            "That an eye brings two edges in line to 0.1° is a judgement.",
        ),
        sources=("Least squares; outliers after Baarda (1968).",),
    ),
    "stand": WorkedOut(
        what="the answer",
        sentences=(
            "Every place in reach is tried with every height, lens and turn. What must hold comes "
            "first: the reach, closed ground and rings, the subject inside the frame, what is to "
            "be whole, overlaps that stay. Among what is left the widest smallest gap wins.",
            "Drift is how far the lens may go one way until the first gap falls under your least "
            "gap, or closes. The spread is where the best place lies in 8 of 10 tries when all "
            "measurements are drawn anew from their doubts, 300 times.",
            "Where the spread is wider than the drift, no tape is good enough: the two gaps to "
            "watch are named. A lens crops and never changes a gap.",
        ),
        sources=(
            "Perspective and nothing else. That 0.3° reads as parted, and that more than a metre "
            "takes strides, are judgements.",
        ),
    ),
    "gaps": WorkedOut(
        what="the gaps",
        sentences=(
            "A gap is the angle on the level from the right edge of one trunk to the left edge of "
            "the next, where it is smallest over the heights the frame takes in. The edges of a "
            "trunk stand half its width to either side, seen along the line that grazes it.",
            "A full lane is 1.6°; under your least gap the air is hatched, a kiss.",
        ),
        sources=("Geometry of upright and leaning cylinders.",),
    ),
    "layers": WorkedOut(
        what="the steps in tone",
        sentences=(
            "Of a dark trunk's contrast 5 in 100 is left at the optical range, and the same share "
            "again for each further such stretch; what is lost is light from the mist. A step is "
            "how much lighter the next layer is, in stops.",
            "The window is where the smallest step keeps nine tenths of the most it can have. All "
            "of it is rough: light from one side, mist thicker low down and pale trunks change "
            "it.",
        ),
        sources=("Koschmieder's law at a threshold of 5 in 100.",),
    ),
}
