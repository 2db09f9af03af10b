#include "job/schema.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <vector>

namespace halfround::job {

namespace {

using enum Form;
using enum Need;

constexpr Row kRows[] = {
    {"version", count, required, 1, 1, "", "", "1", "The version of this file's own grammar.", ""},
    {"job.name", text, required, 1, 80, "", "", "\"island mail\"",
     "What the fork is called; it stands on every sheet.", ""},
    {"job.note", text, optional, 0, 2000, "", "", "\"second fork for this frame\"",
     "Anything worth remembering.", ""},

    {"wheel.bead_seat", length, required, 150, 700, "", "", "559", "Bead-seat diameter of the rim.", "wheel"},
    {"wheel.rim_width", length, required, 8, 110, "", "", "25", "Inside width of the rim, between its hooks.",
     "wheel"},
    {"wheel.tyre", text, conditional, 1, 40, "", "", "\"54-559\"",
     "The tyre's designation: width, bead seat.", "wheel"},
    {"wheel.tyre.outside_diameter", length, conditional, 180, 900, "", "", "667",
     "Diameter over the inflated tyre.", "wheel"},
    {"wheel.tyre.half_profile", list, conditional, 3, 60, "", "", "[[0, 0], [18, 9], [27, 27], [20, 45]]",
     "Measured points of half the tyre from the top of the tread down.", "wheel"},
    {"wheel.tyre.half_profile[].half_width", length, required, 0, 80, "", "", "27",
     "Half the tyre's width there.", "wheel"},
    {"wheel.tyre.half_profile[].below_top", length, required, 0, 150, "", "", "27",
     "How far below the top of the tread.", "wheel"},

    {"hub.over_locknut", length, required, 20, 200, "", "", "100",
     "Width of the hub where the fork holds it.", "hub"},
    {"hub.axle", length, required, 4, 30, "", "", "12", "Diameter of the axle.", "hub"},

    {"steering.head_angle", angle, required, 45, 90, "", "", "71.5",
     "Angle of the steering axis to the ground.", "steering"},
    {"steering.offset", length, required, -50, 200, "", "", "44",
     "From the steering axis to the axle, square to the axis.", "steering"},
    {"steering.axle_to_crown", length, required, 150, 650, "", "", "408",
     "From the axle to the crown race seat.", "steering"},
    {"steering.axle_to_crown_is", choice, required, 0, 0, "", "straight|along the axis", "\"straight\"",
     "Which of the two lengths axle_to_crown is.", "steering"},

    {"steerer.diameter", length, conditional, 15, 60, "", "", "28.6",
     "Outside diameter of the steerer, where it is the same all along.", "steerer"},
    {"steerer.diameters", list, conditional, 2, 40, "", "", "[[0, 38.1], [70, 38.1], [120, 28.6]]",
     "Outside diameter of a tapered steerer at distances from its lower end.", "steerer"},
    {"steerer.diameters[].at", length, required, 0, 600, "", "", "70", "Distance from the lower end.",
     "steerer"},
    {"steerer.diameters[].diameter", length, required, 15, 60, "", "", "38.1", "Diameter there.", "steerer"},
    {"steerer.wall", length, conditional, 0.3, 10, "", "", "1.6", "Wall, where it is the same all along.",
     "steerer"},
    {"steerer.walls", list, conditional, 1, 40, "", "", "[[0, 2.3], [90, 2.3], [130, 1.6]]",
     "Wall of a butted steerer at distances from its lower end.", "steerer"},
    {"steerer.walls[].at", length, required, 0, 600, "", "", "90", "Distance from the lower end.", "steerer"},
    {"steerer.walls[].wall", length, required, 0.3, 10, "", "", "2.3", "Wall there.", "steerer"},
    {"steerer.length", length, required, 40, 600, "", "", "240", "All of the steerer, end to end.",
     "steerer"},
    {"steerer.below_seat", length, required, 5, 300, "", "", "62",
     "From its lower end up to the crown race seat.", "steerer"},
    {"steerer.crown_race", length, optional, 20, 70, "", "", "30", "Diameter of the crown race seat.",
     "steerer"},

    {"blades.stations", list, required, 1, 60, "", "", "[[0, 16, 16, 1.2], [330, 24, 30, 1]]",
     "The blade's section, measured from the tip up.", "blade"},
    {"blades.stations[].at", length, required, 0, 900, "", "", "220",
     "Distance from the tip along the blade.", "blade"},
    {"blades.stations[].width", length, conditional, 6, 80, "", "", "22", "Outside, across the bicycle.",
     "blade"},
    {"blades.stations[].depth", length, conditional, 6, 80, "", "", "27", "Outside, fore and aft.", "blade"},
    {"blades.stations[].wall", length, optional, 0.3, 6, "", "", "1", "Wall there.", "blade"},
    {"blades.stations[].outline", list, conditional, 6, 120, "", "",
     "[[11, 0], [7, 10], [0, 13], [-7, 10], [-11, 0], [-7, -10], [0, -13], [7, -10]]",
     "Measured points round the section instead of width and depth.", "outline"},
    {"blades.stations[].outline[].outward", length, required, -60, 60, "", "", "11",
     "From the middle, away from the wheel.", "outline"},
    {"blades.stations[].outline[].rearward", length, required, -60, 60, "", "", "0",
     "From the middle, toward the rear.", "outline"},
    {"blades.shape", list, conditional, 1, 40, "", "",
     "[{straight = 345}, {bend = 71, radius = 75, toward = \"inward\"}]",
     "Straight pieces and bends from the tip up.", "shape"},
    {"blades.shape[].straight", length, conditional, 0.1, 900, "", "", "345", "Length of a straight piece.",
     "shape"},
    {"blades.shape[].bend", angle, conditional, 0.1, 150, "", "", "71", "How far the blade turns in a bend.",
     "shape"},
    {"blades.shape[].radius", length, conditional, 8, 20000, "", "", "75",
     "Radius of a bend to the blade's middle line.", "shape"},
    {"blades.shape[].toward", choice, conditional, 0, 0, "", "inward|outward|forward|rearward", "\"inward\"",
     "To which side the upper part turns.", "shape"},
    {"blades.traced", list, conditional, 2, 200, "", "",
     "[[0, 0, 0], [200, 0, 2], [345, 1, 6], [420, 30, 9]]", "Points of the middle line instead of pieces.",
     "trace"},
    {"blades.traced[].along", length, required, -100, 900, "", "", "200",
     "From the tip, along the blade's lower run.", "trace"},
    {"blades.traced[].inward", length, required, -400, 400, "", "", "30", "Toward the wheel.", "trace"},
    {"blades.traced[].forward", length, required, -400, 400, "", "", "6", "Toward the front.", "trace"},
    {"blades.stock_length", length, optional, 50, 900, "", "", "470",
     "How much blade there is, along its middle line.", "shape"},

    {"crown.kind", choice, optional, 0, 0, "", "unicrown|segmented|plate|socket", "\"segmented\"",
     "What holds the blades at the top.", "crown"},
    {"crown.diameter", length, conditional, 15, 60, "", "", "31.8", "Outside diameter of the crown tubes.",
     "crown"},
    {"crown.wall", length, conditional, 0.5, 6, "", "", "1.6", "Wall of the crown tubes.", "crown"},
    {"crown.height", length, conditional, 5, 200, "", "", "36",
     "From the crown race seat down to where the crown's middle line meets the steering axis.", "crown"},
    {"crown.angle", angle, assumed, 45, 135, "90", "", "80",
     "Between the crown tubes and the steering axis; below 90 they fall outward.", "crown"},
    {"crown.plates", count, assumed, 1, 2, "1", "", "2", "How many crown plates there are.", "crown-plate"},
    {"crown.thickness", length, conditional, 3, 60, "", "", "8", "Of a crown plate, or of a socket crown.",
     "crown-plate"},
    {"crown.between", length, conditional, 5, 150, "", "", "40", "Between the middles of two crown plates.",
     "crown-plate"},
    {"crown.edge", length, assumed, 2, 60, "8", "", "8", "Metal round every bore of the crown.",
     "crown-plate"},
    {"crown.least", length, assumed, 1, 60, "8", "", "8", "Least metal between two bores of a crown plate.",
     "crown-plate"},
    {"crown.spacing", length, conditional, 30, 250, "", "", "72",
     "Between the sockets' middles at their mouths.", "crown-socket"},
    {"crown.splay", angle, assumed, -15, 25, "0", "", "3", "How far the sockets go outward going down.",
     "crown-socket"},
    {"crown.lean", angle, assumed, -10, 20, "0", "", "2", "How far the sockets go forward going down.",
     "crown-socket"},
    {"crown.ahead", length, assumed, -30, 60, "0", "", "5", "The sockets' mouths ahead of the steering axis.",
     "crown-socket"},
    {"crown.socket_width", length, conditional, 8, 80, "", "", "24.2",
     "Inside of a socket, across the bicycle.", "crown-socket"},
    {"crown.socket_depth", length, optional, 8, 80, "", "", "30.2",
     "Inside of a socket, fore and aft, where it is not round.", "crown-socket"},
    {"crown.socket_reach", length, conditional, 5, 58, "", "", "28", "How deep a blade goes into its socket.",
     "crown-socket"},
    {"crown.above", length, assumed, 0, 150, "20", "", "24",
     "How far the blades go on above the crown's middle line.", "crown"},
    {"crown.cap", length, assumed, 0, 10, "2", "", "2", "Thickness of the caps on the blades; 0 for none.",
     "crown"},

    {"lower_end.kind", choice, required, 0, 0, "", "insert|tab dropout|hooded dropout|axle block",
     "\"insert\"", "What takes the axle.", "lower-end"},
    {"lower_end.blade_from_hub", length, required, -40, 60, "", "", "10",
     "From the hub's face out to the blade's middle line.", "lower-end"},
    {"lower_end.rise", length, conditional, 0, 80, "", "", "22", "From the axle up to where the blade ends.",
     "lower-end"},
    {"lower_end.diameter", length, conditional, 8, 60, "", "", "24",
     "Of the insert's barrel, or of the hood.", "lower-end"},
    {"lower_end.length", length, conditional, 4, 80, "", "", "20",
     "Of the barrel outward from the hub's face, or of the hood.", "lower-end"},
    {"lower_end.bore", length, conditional, 3, 40, "", "", "12",
     "Hole for the axle through the barrel or the block.", "lower-end"},
    {"lower_end.thickness", length, conditional, 1.5, 60, "", "", "6",
     "Of the dropout's plate, or of the block along the axle.", "lower-end"},
    {"lower_end.slot_depth", length, conditional, 3, 80, "", "", "20",
     "How far the plate reaches up into the slotted blade.", "lower-end"},
    {"lower_end.slot_width", length, conditional, 4, 30, "", "", "9", "Of the slot for the axle.",
     "lower-end"},

    {"lower_end.socket_depth", length, conditional, 5, 80, "", "", "22",
     "How deep the blade goes into the block.", "lower-end"},
    {"lower_end.edge", length, assumed, 1.5, 30, "4", "", "4", "Least metal round the bores of a block.",
     "lower-end"},

    {"brake.mount", choice, assumed, 0, 0, "none", "none|rim|post|flat|tab", "\"post\"",
     "How the brake is held.", "brake"},
    {"brake.rotor", length, conditional, 100, 260, "", "", "160", "Diameter of the disc.", "brake"},
    {"brake.rotor_from_hub", length, assumed, 0, 40, "10.5", "", "10.5",
     "From the hub's face in to the disc's inner face.", "brake"},
    {"brake.bolts_from_rotor", length, optional, 0, 60, "", "", "12.2",
     "From the disc's inner face out to the calliper's bolts.", "brake"},
    {"brake.bolts", list, optional, 2, 2, "", "", "[[55.9, 6.8], [55.9, 80.8]]",
     "The two bolts, measured off the calliper in hand.", "brake"},
    {"brake.bolts[].face", length, required, 5, 200, "", "", "55.9",
     "From the axle, square to the mount's face.", "brake"},
    {"brake.bolts[].along", length, required, -100, 200, "", "", "6.8",
     "From the axle, along the mount's face, upward.", "brake"},
    {"brake.lean", angle, optional, -60, 60, "", "", "8",
     "Of the mount's face against the steering axis, its top forward.", "brake"},
    {"brake.post", length, assumed, 5, 40, "14", "", "14", "Diameter of a post, or width of the foot.",
     "brake"},

    {"features", list, optional, 1, 60, "", "",
     "[{kind = \"boss\", on = \"left blade\", at = 180, clock = 90, size = 9}]",
     "Small parts and openings: what is on which member.", ""},
    {"features[].kind", choice, required, 0, 0, "",
     "pinch lug|axle slot|dropout slot|vent|boss|guide|wire passage|hose passage|mudguard eye|rack boss|cage "
     "bosses",
     "\"boss\"", "What it is.", ""},
    {"features[].on", choice, required, 0, 0, "", "steerer|left blade|right blade|left insert|right insert",
     "\"left blade\"", "What it sits on.", ""},
    {"features[].at", length, conditional, 0, 900, "", "", "180",
     "From the lower end of the stock, along its middle line; left out: by rule.", ""},
    {"features[].clock", angle, optional, -360, 360, "", "", "90",
     "Where round the tube, from its mark line.", ""},
    {"features[].size", length, conditional, 0.5, 80, "", "", "9", "Across its foot or its hole.", ""},

    {"gussets", list, optional, 1, 6, "", "",
     "[{between = \"blade and crown\", side = \"below\", along_first = 25, along_second = 20, thickness = "
     "3}]",
     "Flat plates in the corner of a mitred joint, the same on both sides.", ""},
    {"gussets[].between", choice, required, 0, 0, "", "blade and crown|crown and steerer|blade and steerer",
     "\"blade and crown\"", "Which two tubes.", ""},
    {"gussets[].side", choice, required, 0, 0, "", "below|above", "\"below\"", "Under the corner or over it.",
     ""},
    {"gussets[].along_first", length, required, 7, 200, "", "", "25", "Leg along the first of the two tubes.",
     ""},
    {"gussets[].along_second", length, required, 7, 200, "", "", "20", "Leg along the second.", ""},
    {"gussets[].thickness", length, required, 1, 12, "", "", "3", "Of the plate.", ""},
    {"gussets[].hollow", length, optional, 8, 500, "", "", "40",
     "Radius of its free edge, cut in; left out: straight.", ""},

    {"shares.tilt", share, assumed, -150, 200, "remainder", "", "\"remainder\"",
     "Offset from leaning the blades forward.", "shares"},
    {"shares.mitre_offset", share, assumed, -30, 30, "0", "", "0",
     "Blades' plane ahead of the steering axis at the crown.", "shares"},
    {"shares.rake", share, optional, 0, 0, "", "", "\"remainder\"",
     "Offset from the blades' own forward bend.", "shares"},
    {"shares.dropout_lead", share, assumed, -40, 60, "0", "", "0", "Axle ahead of the blade's end.",
     "shares"},

    {"wishes.clearance", length, conditional, 0, 80, "", "", "8", "Least gap between tyre and blade.",
     "wishes"},
    {"wishes.crown_height", length, conditional, 0, 200, "", "", "34",
     "From the crown race seat down to where the blades' middle lines meet the axis.", "wishes"},
    {"wishes.top_angle", angle, conditional, 0, 120, "", "", "75",
     "Between blade and steering axis at the top.", "wishes"},
    {"wishes.splay", angle, conditional, -12, 25, "", "", "3",
     "How far the lower runs lean apart going down.", "wishes"},
    {"wishes.lower_trim", length, conditional, -30, 400, "", "", "12", "Cut from the blade's tip.", "wishes"},
    {"wishes.upper_trim", length, conditional, -30, 600, "", "", "5", "Cut from the blade's upper end.",
     "wishes"},
    {"wishes.spacing", length, conditional, 20, 300, "", "", "104",
     "Between the blades' middle lines at the crown.", "wishes"},
    {"wishes.lean_to", angle, assumed, -12, 25, "0", "", "0",
     "Of several possible forks take the one nearest this splay.", "wishes"},

    {"bicycle.wheelbase", length, assumed, 700, 2500, "1050", "", "1050",
     "From axle to axle, with this fork.", "bicycle"},
    {"bicycle.rear_radius", length, optional, 75, 450, "", "", "340",
     "Of the rear wheel with its tyre; without it the rear wheel is taken as large as the front one.",
     "bicycle"},
    {"bicycle.rider_mass", mass, assumed, 15, 300, "75", "", "75",
     "Of the rider, clothes and load on the back.", "bicycle"},
    {"bicycle.rider_ahead", length, assumed, -200, 1200, "350", "", "350",
     "Rider's centre of gravity ahead of the rear axle.", "bicycle"},
    {"bicycle.rider_height", length, assumed, 300, 1800, "1000", "", "1000",
     "Rider's centre of gravity above the ground.", "bicycle"},
    {"bicycle.frame_mass", mass, assumed, 0.5, 200, "5", "", "5",
     "Of the frame with all that does not steer, wheel not counted.", "bicycle"},
    {"bicycle.frame_ahead", length, assumed, -600, 1500, "360", "", "360",
     "Its centre of gravity ahead of the rear axle.", "bicycle"},
    {"bicycle.frame_height", length, assumed, 100, 1500, "530", "", "530",
     "Its centre of gravity above the ground.", "bicycle"},
    {"bicycle.front_mass", mass, assumed, 0.5, 100, "2.6", "", "2.6",
     "Of all that steers, wheel not counted: fork, stem, handlebar, front carrier.", "bicycle"},
    {"bicycle.front_behind", length, assumed, -400, 600, "145", "", "145",
     "Its centre of gravity behind the front axle.", "bicycle"},
    {"bicycle.front_height", length, assumed, 200, 1500, "750", "", "750",
     "Its centre of gravity above the ground.", "bicycle"},
    {"bicycle.rear_wheel_mass", mass, assumed, 0.2, 20, "2.2", "", "2.2", "Of the rear wheel with its tyre.",
     "bicycle"},
    {"bicycle.front_wheel_mass", mass, assumed, 0.2, 20, "1.75", "", "1.75",
     "Of the front wheel with its tyre.", "bicycle"},
    {"bicycle.chainstay", length, optional, 200, 900, "", "", "450",
     "From the bottom bracket's middle to the rear axle, straight.", "bicycle"},
    {"bicycle.bracket_drop", length, optional, -200, 200, "", "", "65",
     "Bottom bracket's middle below the rear axle.", "bicycle"},

    {"pedals.crank_length", length, required, 80, 250, "", "", "170",
     "From the bottom bracket to the pedal's axle.", ""},
    {"pedals.front_centre", length, optional, 300, 1500, "", "", "620",
     "Bottom bracket to front axle, straight; left out, it follows from [bicycle].", ""},
    {"pedals.bracket_drop", length, optional, -250, 250, "", "", "60",
     "Bottom bracket below the front axle; left out, it follows from [bicycle].", ""},
    {"pedals.from_middle", length, assumed, 60, 250, "130", "", "130",
     "From the bicycle's middle plane out to the middle of the pedal.", ""},
    {"pedals.foot_held", choice, assumed, 0, 0, "no", "no|yes", "\"no\"",
     "Whether clips, straps or cleats hold the foot.", ""},

    {"checks.type", choice, assumed, 0, 0, "city", "city|young adult|mountain|racing", "\"city\"",
     "Which kind of bicycle the published limits and loads are taken for.", ""},
    {"checks.clearance", length, optional, 0, 60, "", "", "6",
     "Least air round the tyre that is wanted after all allowances.", ""},
    {"checks.growth", length, assumed, 0, 10, "1", "", "1", "Allowance for the tyre's stretch and tolerance.",
     ""},
    {"checks.out_of_true", length, assumed, 0, 10, "1", "", "1",
     "Allowance for the wheel running out sideways.", ""},
    {"checks.hop", length, assumed, 0, 10, "1", "", "1", "Allowance for the wheel running out up and down.",
     ""},
    {"checks.mud", length, assumed, 0, 40, "0", "", "8", "Allowance for mud on tyre or mudguard.", ""},

    {"mudguard.half_width", length, required, 5, 80, "", "", "32",
     "From the middle plane to the mudguard's outside.", ""},
    {"mudguard.gap", length, assumed, 0, 60, "10", "", "10",
     "Air between the top of the tread and the mudguard.", ""},
    {"mudguard.thickness", length, assumed, 0.2, 10, "1.5", "", "1.5", "Of the mudguard.", ""},
    {"mudguard.depth", length, assumed, 0, 60, "15", "", "15", "From its top down to its edges.", ""},

    {"material.steerer", choice, assumed, 0, 0, "Cr-Mo 4130",
     "Cr-Mo 4130|25CrMo4|Mn-Mo drawn|Cr-Mo heat-treated|stainless 304|titanium 3Al-2.5V|aluminium 6061-T6",
     "\"Cr-Mo 4130\"", "What the steerer is made of.", ""},
    {"material.blades", choice, assumed, 0, 0, "Cr-Mo 4130",
     "Cr-Mo 4130|25CrMo4|Mn-Mo drawn|Cr-Mo heat-treated|stainless 304|titanium 3Al-2.5V|aluminium 6061-T6",
     "\"25CrMo4\"", "What the blades are made of.", ""},
    {"material.lower_end", choice, assumed, 0, 0, "Cr-Mo 4130",
     "Cr-Mo 4130|25CrMo4|Mn-Mo drawn|Cr-Mo heat-treated|stainless 304|titanium 3Al-2.5V|aluminium 6061-T6",
     "\"Cr-Mo 4130\"", "What inserts or dropouts are made of.", ""},
    {"material.crown", choice, optional, 0, 0, "",
     "Cr-Mo 4130|25CrMo4|Mn-Mo drawn|Cr-Mo heat-treated|stainless 304|titanium 3Al-2.5V|aluminium 6061-T6",
     "\"25CrMo4\"", "What the crown is made of; left out, what the blades are made of.", ""},

    {"strength.upper_bearing", length, assumed, 30, 500, "150", "", "150",
     "Height of the upper head bearing above the crown race seat.", ""},
    {"strength.axle_held", choice, assumed, 0, 0, "clamped", "clamped|free to turn", "\"clamped\"",
     "How the axle sits in the lower ends.", ""},
    {"strength.axle_bore", length, assumed, 0, 25, "0", "", "8", "Hole through the axle.", ""},
    {"strength.heat_reach", length, assumed, 0, 100, "30", "", "30",
     "How far from a joint the tube counts as softened by heat.", ""},
    {"strength.notch_factor", ratio, assumed, 1, 6, "1.75", "", "1.75",
     "Fatigue notch factor at the toe of a joint.", ""},
    {"strength.notch_reach", length, assumed, 0, 60, "10", "", "10",
     "How far from a joint the notch factor holds.", ""},
    {"strength.endurance_ratio", ratio, assumed, 0.1, 0.7, "0.5", "", "0.5",
     "Endurance limit of a polished bar over its ultimate strength.", ""},
    {"strength.surface_a", ratio, assumed, 0.1, 400, "4.51", "", "4.51",
     "Factor a of the surface rule a S^b.", ""},
    {"strength.surface_b", ratio, assumed, -1.2, 0, "-0.265", "", "-0.265",
     "Exponent b of the surface rule a S^b.", ""},
    {"strength.rule_edition", text, assumed, 1, 120, "Shigley, editions up to the 10th, cold-drawn surface",
     "", "\"Shigley, 11th edition, ground surface\"", "Where the two factors of the surface rule come from.",
     ""},
    {"strength.reliability", ratio, assumed, 0.5, 1, "0.814", "", "0.814",
     "Reliability factor; 0.814 is 99 of 100.", ""},
    {"strength.yield_margin", ratio, assumed, 0.5, 10, "1", "", "1.2",
     "Least margin against yield that is wanted.", ""},
    {"strength.fatigue_margin", ratio, assumed, 0.5, 10, "1", "", "1.2",
     "Least margin against fatigue that is wanted.", ""},
    {"strength.loads", list, optional, 0, 20, "", "",
     "[{name = \"parcel box\", force = 300, toward = \"rearward\"}]",
     "Loads of the builder's own, at the axle.", ""},
    {"strength.loads[].name", text, required, 1, 60, "", "", "\"parcel box\"", "What the load is called.",
     ""},
    {"strength.loads[].force", force, required, 1, 20000, "", "", "300", "How hard it pushes.", ""},
    {"strength.loads[].toward", choice, required, 0, 0, "", "rearward|forward|left|right|upward",
     "\"rearward\"", "Which way it pushes the axle, square to or along the steering axis.", ""},
    {"strength.loads[].cycles", ratio, optional, 1, 1e9, "", "", "50000",
     "How often, to and fro; left out, once and held.", ""},

    {"joining.passes", list, optional, 1, 6, "", "", "[[\"RBCuZn-C\", 2], [\"RBCuZn-C\", 6]]",
     "Fillers laid over one another, each up to its radius.", ""},
    {"joining.passes[].filler", text, required, 2, 30, "", "", "\"RBCuZn-C\"",
     "By its AWS A5.8 classification.", ""},
    {"joining.passes[].radius", length, required, 0.5, 30, "", "", "6", "Of the fillet after this pass.", ""},
    {"joining.slot_filler", text, assumed, 2, 30, "BAg-24", "", "\"BAg-24\"",
     "What creeps between a plate and its slotted blade.", ""},
    {"joining.slot_gap", length, assumed, 0, 1, "0.08", "", "0.08", "Between them, on each side.", ""},
    {"joining.root_gap", length, assumed, 0, 2, "0.1", "", "0.1", "A mitre's mean gap before it is joined.",
     ""},
    {"joining.leg_least", length, assumed, 0, 40, "5", "", "5", "A fillet's shortest leg.", ""},
    {"joining.leg_most", length, assumed, 0, 40, "12", "", "12", "A fillet's longest leg.", ""},
    {"joining.waste", ratio, assumed, 0, 3, "0.35", "", "0.35",
     "Filler that drops, burns or stays as stubs, as a part of what is laid.", ""},

    {"sheets.paper", choice, assumed, 0, 0, "both", "A4|Letter|both", "\"A4\"", "Paper of the tiled sheets.",
     "printer"},
    {"sheets.scribe_gap", length, assumed, 0, 150, "20", "", "20",
     "From the lowest point of a cut back to its scribe line.", "printer"},
    {"printer.bar_x", length, assumed, 90, 110, "100", "", "99.6",
     "What the printed bar across the page measures.", "printer"},
    {"printer.bar_y", length, assumed, 90, 110, "100", "", "100.2",
     "What the printed bar up the page measures.", "printer"},
    {"printer.paper_thickness", length, assumed, 0, 1, "0.1", "", "0.1", "Thickness of the template's paper.",
     "printer"},

    {"tolerances.offset", length, optional, 0, 20, "", "", "0.5",
     "Plus or minus that the finished fork's offset may be off.", ""},
    {"tolerances.axle_to_crown", length, optional, 0, 20, "", "", "1",
     "Plus or minus that the finished fork's axle-to-crown may be off.", ""},
    {"tolerances.over_locknut", length, optional, 0, 10, "", "", "0.5", "Plus or minus on the hub's width.",
     ""},
    {"tolerances.tyre_width", length, optional, 0, 10, "", "", "1", "Plus or minus on the tyre's width.", ""},
    {"tolerances.blade_width", length, optional, 0, 5, "", "", "0.2", "Plus or minus on the blades' width.",
     ""},
    {"tolerances.blade_depth", length, optional, 0, 5, "", "", "0.2", "Plus or minus on the blades' depth.",
     ""},
    {"tolerances.splay", angle, optional, 0, 5, "", "", "0.3", "Plus or minus on the splay.", ""},
    {"tolerances.spread", choice, assumed, 0, 0, "normal", "normal|uniform|triangular", "\"normal\"",
     "How the errors spread within plus or minus.", ""},
    {"tolerances.length", length, optional, 0, 20, "", "", "0.3",
     "Plus or minus on a blade's length between its cuts: the stop.", ""},
    {"tolerances.lower_end", length, optional, 0, 20, "", "", "0.2",
     "Plus or minus on where the insert or dropout sits on the blade.", ""},
    {"tolerances.rise", length, optional, 0, 20, "", "", "0.2", "Plus or minus on the lower end's height.",
     ""},
    {"tolerances.lead", length, optional, 0, 20, "", "", "0.2",
     "Plus or minus on the lower end fore and aft.", ""},
    {"tolerances.crown_height", length, optional, 0, 20, "", "", "0.5",
     "Plus or minus on where the joint sits on the steerer.", ""},
    {"tolerances.mitre_offset", length, optional, 0, 20, "", "", "0.3",
     "Plus or minus on the blade's plane fore and aft at the crown.", ""},
    {"tolerances.middle", length, optional, 0, 20, "", "", "0.3",
     "Plus or minus on the upper mitre's depth: how far out the blade stands.", ""},
    {"tolerances.crown_angle", angle, optional, 0, 10, "", "", "0.3",
     "Plus or minus on the crown tubes' angle to the steerer.", ""},
    {"tolerances.tilt", angle, optional, 0, 5, "", "", "0.3", "Plus or minus on the blade's lean forward.",
     ""},
    {"tolerances.clock", angle, optional, 0, 10, "", "", "0.5",
     "Plus or minus on the blade's turn about its top.", ""},
    {"tolerances.bend", angle, optional, 0, 10, "", "", "0.3", "Plus or minus on each bend's angle.", ""},
    {"tolerances.camber", angle, optional, 0, 10, "", "", "0.3",
     "Plus or minus on the lower end's face leaning outward.", ""},
    {"tolerances.toe", angle, optional, 0, 10, "", "", "0.3",
     "Plus or minus on the lower end's face turning outward.", ""},
    {"tolerances.race_height", length, optional, 0, 10, "", "", "0.1",
     "Plus or minus on the crown race seat's height.", ""},
    {"tolerances.steerer_lean", angle, optional, 0, 5, "", "", "0.1",
     "Plus or minus on the steerer standing upright, sideways.", ""},
    {"tolerances.steerer_pitch", angle, optional, 0, 5, "", "", "0.1",
     "Plus or minus on the steerer standing upright, fore and aft.", ""},
    {"tolerances.accepted", ratio, assumed, 0.0001, 0.5, "0.05", "", "0.05",
     "Chance of missing a limit that is lived with.", ""},

    {"limits.centring", length, assumed, 0, 20, "1", "", "1",
     "How far the wheel may stand beside the middle at its top.", ""},
    {"limits.faces", length, assumed, 0, 20, "0.5", "", "0.5",
     "How far the faces that hold the hub may open or close over 100 mm.", ""},
    {"limits.height", length, assumed, 0, 20, "0.5", "", "0.5",
     "How far one lower end may stand above the other.", ""},
    {"limits.spacing", length, assumed, 0, 20, "1", "", "1",
     "How far the lower ends may stand off the hub's width.", ""},

    {"done.blades.length", length, optional, 20, 900, "", "", "388.2",
     "Cut at both ends: straight from the bottom of the one cut to the bottom of the other.", ""},
    {"done.blades.short_by", length, optional, -60, 200, "", "", "1.4",
     "Instead of the length: how much it is shorter than the plan.", ""},
    {"done.blades.short_at", choice, optional, 0, 0, "", "upper end|lower end", "\"lower end\"",
     "Which end was cut differently from the plan; left out, the upper one.", ""},
    {"done.blades.lower_trim", length, optional, -30, 400, "", "", "12", "The lower end is cut: its trim.",
     ""},
    {"done.blades.joined", choice, optional, 0, 0, "", "no|yes", "\"yes\"",
     "Whether its insert or dropout is brazed on; left out, no.", ""},
    {"done.inserts.diameter", length, optional, 8, 60, "", "", "23.9", "The turned barrel's real diameter.",
     ""},
    {"done.inserts.length", length, optional, 4, 80, "", "", "20", "Its real length.", ""},
    {"done.inserts.bore", length, optional, 3, 40, "", "", "12", "Its real bore.", ""},
    {"done.steerer_length", length, optional, 40, 600, "", "", "240",
     "The steerer is at its length: end to end.", ""},
    {"done.below_seat", length, optional, 5, 300, "", "", "62",
     "The crown race seat is cut: from the steerer's lower end up to it.", ""},
    {"done.offset", length, optional, -50, 200, "", "", "44.3", "The offset measured on the tacked fork.",
     ""},
    {"done.axle_to_crown", length, optional, 150, 650, "", "", "405.6",
     "The axle-to-crown measured on the tacked fork.", ""},
    {"done.crown_height", length, optional, 0, 200, "", "", "34",
     "The crown height measured on the tacked fork.", ""},
    {"done.as_cut", choice, optional, 0, 0, "", "no|yes", "\"yes\"",
     "Whether the finished blades stay as they are, each joint where it was planned; left out, no.", ""},

    {"freedoms.axle_to_crown", length, assumed, 0, 100, "2", "", "2",
     "Plus or minus that the axle-to-crown may move.", ""},
    {"freedoms.offset", length, assumed, 0, 50, "1", "", "1", "Plus or minus that the offset may move.", ""},
    {"freedoms.crown_height", length, assumed, 0, 60, "3", "", "3",
     "Plus or minus that the crown height may move.", ""},
    {"freedoms.splay", angle, assumed, 0, 10, "0.5", "", "0.5", "Plus or minus that the splay may move.", ""},
    {"freedoms.blade_from_hub", length, assumed, 0, 20, "1.5", "", "1.5",
     "Plus or minus that the blade may stand elsewhere on its insert or dropout.", ""},
    {"freedoms.clearance", length, assumed, 0, 30, "2", "", "2",
     "How much of the tyre clearance may be lost.", ""},
    {"freedoms.other_blade", choice, assumed, 0, 0, "yes", "yes|no", "\"yes\"",
     "Whether the other blade may be made to match.", ""},
};

std::size_t spelling_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), 0);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t corner = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t other = corner + (a[i - 1] == b[j - 1] ? 0 : 1);
      corner = row[j];
      row[j] = std::min({other, row[j] + 1, row[j - 1] + 1});
    }
  }
  return row.back();
}

std::string_view last_part(std::string_view key) {
  const auto dot = key.rfind('.');
  return dot == std::string_view::npos ? key : key.substr(dot + 1);
}

}  // namespace

std::span<const Row> schema() {
  return kRows;
}

std::string canonical(std::string_view key) {
  std::string out;
  bool in_brackets = false;
  for (const char c : key) {
    if (c == ']') in_brackets = false;
    if (!in_brackets) out += c;
    if (c == '[') in_brackets = true;
  }
  // what stands in a side's own section is described once for both
  for (const std::string_view part : {"blades", "lower_end", "wishes", "done.blades", "done.inserts"}) {
    for (const std::string_view side : {".left", ".right"}) {
      const std::string own = std::string(part) + std::string(side);
      if (out.starts_with(own) && (out.size() == own.size() || out[own.size()] == '.'))
        return std::string(part) + out.substr(own.size());
    }
  }
  return out;
}

const Row* find_row(std::span<const Row> rows, std::string_view key) {
  const std::string plain = canonical(key);
  const auto it = std::find_if(rows.begin(), rows.end(), [&](const Row& row) { return row.key == plain; });
  return it == rows.end() ? nullptr : &*it;
}

bool is_section(std::span<const Row> rows, std::string_view key) {
  const std::string head = canonical(key) + ".";
  return std::any_of(rows.begin(), rows.end(), [&](const Row& row) { return row.key.starts_with(head); });
}

std::string nearest_key(std::span<const Row> rows, std::string_view key) {
  if (key.size() > 100) return {};
  const std::string plain = canonical(key);
  const std::string_view last = last_part(plain);
  std::string best;
  std::size_t least = SIZE_MAX;
  const auto weigh = [&](std::string_view known) {
    // the whole key misspelt, or the right name in the wrong section
    const std::size_t far = spelling_distance(plain, known);
    const std::size_t near = spelling_distance(last, last_part(known));
    if (far > std::max<std::size_t>(2, plain.size() / 3) && near > last.size() / 3) return;
    const std::size_t cost = 4 * near + far;
    if (cost < least) least = cost, best = known;
  };
  for (const Row& row : rows) {
    weigh(row.key);
    if (const auto dot = row.key.find('.'); dot != std::string_view::npos) weigh(row.key.substr(0, dot));
  }
  return best;
}

const Row* find_row(std::string_view key) {
  return find_row(kRows, key);
}
bool is_section(std::string_view key) {
  return is_section(kRows, key);
}
std::string nearest_key(std::string_view key) {
  return nearest_key(kRows, key);
}

std::string what_fits(const Row& row) {
  switch (row.form) {
    case Form::length:
      return fmt::format("Give a length from {} to {} mm, e.g. {}.", row.least, row.most, row.example);
    case Form::angle:
      return fmt::format("Give an angle from {} to {} deg, e.g. {}.", row.least, row.most, row.example);
    case Form::mass:
      return fmt::format("Give a mass from {} to {} kg, e.g. {}.", row.least, row.most, row.example);
    case Form::ratio:
      return fmt::format("Give a number from {} to {}, e.g. {}.", row.least, row.most, row.example);
    case Form::force:
      return fmt::format("Give a force from {} to {} N, e.g. {}.", row.least, row.most, row.example);
    case Form::count:
      return fmt::format("Give a whole number from {} to {}, e.g. {}.", row.least, row.most, row.example);
    case Form::text:
      return fmt::format("Give text in quotation marks, e.g. {}.", row.example);
    case Form::share:
      if (row.least == row.most) return "Give \"remainder\", or leave the key out.";
      return fmt::format("Give a length from {} to {} mm or \"remainder\", e.g. {}.", row.least, row.most,
                         row.example);
    case Form::either:
      return fmt::format(
          "Give a length in mm or an angle in degrees, as it measures, from {} to {}, e.g. {}.", row.least,
          row.most, row.example);
    case Form::list:
      return fmt::format("Give a list in brackets, e.g. {}.", row.example);
    case Form::choice:
      break;
  }
  std::string out = "Give one of";
  std::string_view rest = row.choices;
  for (bool first = true; !rest.empty(); first = false) {
    const auto bar = rest.find('|');
    out += fmt::format("{} \"{}\"", first ? "" : ",", rest.substr(0, bar));
    rest = bar == std::string_view::npos ? std::string_view{} : rest.substr(bar + 1);
  }
  return out + ".";
}

}  // namespace halfround::job
