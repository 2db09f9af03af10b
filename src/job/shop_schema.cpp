#include "job/shop_schema.h"

namespace halfround::job {

namespace {

using enum Form;
using enum Need;

constexpr Row kRows[] = {
    {"version", count, required, 1, 1, "", "", "1", "The version of this file's own grammar.", ""},
    {"shop.name", text, required, 1, 80, "", "", "\"the shed\"", "What the shop is called.", ""},
    {"shop.note", text, optional, 0, 2000, "", "", "\"mill shared with next door\"",
     "Anything worth remembering.", ""},
    {"shop.gap", length, assumed, 0.01, 1, "0.1", "", "0.1",
     "The greatest gap a joint may keep before the file is taken up.", ""},
    {"shop.least_grip", length, assumed, 10, 200, "40", "", "40",
     "The shortest straight piece of tube that the vice or the tube blocks hold.", ""},

    {"cutters", list, optional, 1, 200, "", "",
     "[{kind = \"hole saw\", diameter = \"1 1/8 in\"}, {kind = \"end mill\", diameter = 24}]",
     "What cuts a mitre.", ""},
    {"cutters[].name", text, optional, 1, 40, "", "", "\"the ground one\"", "What it is called on the cards.",
     ""},
    {"cutters[].kind", choice, required, 0, 0, "", "hole saw|end mill", "\"hole saw\"", "What it is.", ""},
    {"cutters[].diameter", length, required, 3, 150, "", "", "\"1 1/8 in\"",
     "The diameter it cuts, measured on a cut if it can be.", ""},
    {"cutters[].reach", length, optional, 3, 300, "", "", "38",
     "How deep it goes along its own axis; left out: deep enough.", ""},

    {"files", list, optional, 1, 100, "", "", "[{kind = \"half-round\", radius = 14}]", "Files by hand.", ""},
    {"files[].name", text, optional, 1, 40, "", "", "\"big half-round\"", "What it is called on the cards.",
     ""},
    {"files[].kind", choice, required, 0, 0, "", "half-round|round|flat", "\"half-round\"", "What it is.",
     ""},
    {"files[].radius", length, conditional, 1, 60, "", "", "14",
     "Radius of its round side; a flat file has none.", ""},

    {"fixtures", list, optional, 1, 20, "", "",
     "[{name = \"long bed\", dummy_axles = [{over_locknut = 92, axle = 9}]}]",
     "What holds the fork while it is tacked.", ""},
    {"fixtures[].name", text, required, 1, 40, "", "", "\"long bed\"", "What it is called on the cards.", ""},
    {"fixtures[].race_stop", length, optional, 15, 70, "", "", "28.8",
     "Diameter of the bore that the steerer goes into, up to the crown race seat.", ""},
    {"fixtures[].steerer_clamp.least", length, required, 10, 70, "", "", "25",
     "The thinnest steerer it grips.", ""},
    {"fixtures[].steerer_clamp.most", length, required, 10, 70, "", "", "40",
     "The thickest steerer it grips.", ""},
    {"fixtures[].dummy_axles", list, optional, 1, 20, "", "", "[{over_locknut = 92, axle = 9}]",
     "What stands in for the hub.", ""},
    {"fixtures[].dummy_axles[].over_locknut", length, required, 20, 200, "", "", "92",
     "Between its shoulders.", ""},
    {"fixtures[].dummy_axles[].axle", length, required, 4, 30, "", "", "9", "Diameter of its ends.", ""},
    {"fixtures[].dummy_axles[].end_length", length, optional, 2, 100, "", "", "30",
     "How far an end stands out of its shoulder.", ""},
    {"fixtures[].adjusters", list, optional, 1, 40, "", "",
     "[{name = \"bed\", measures = \"offset\", zero = 0, direction = \"rising\", unit = \"mm\", step = 0.5, "
     "least = 0, most = 120}]",
     "Its scales.", ""},
    {"fixtures[].adjusters[].name", text, required, 1, 40, "", "", "\"bed\"", "What stands beside the scale.",
     ""},
    {"fixtures[].adjusters[].measures", choice, required, 0, 0, "",
     "axle-to-crown straight|axle-to-crown along the axis|offset|offset angle|over locknut|half over "
     "locknut|crown height|splay|brake mount face|brake mount bolt|brake mount lean|brake mount aside",
     "\"offset\"", "What it measures in the fork.", ""},
    {"fixtures[].adjusters[].zero", either, required, -700, 700, "", "", "0",
     "What the fork has where the scale shows 0.", ""},
    {"fixtures[].adjusters[].direction", choice, required, 0, 0, "", "rising|falling", "\"rising\"",
     "Whether the reading grows as the fork's own measure grows.", ""},
    {"fixtures[].adjusters[].unit", choice, required, 0, 0, "", "mm|in|deg", "\"mm\"", "The scale's unit.",
     ""},
    {"fixtures[].adjusters[].step", either, required, 0.001, 50, "", "", "0.5",
     "The smallest step that can be set.", ""},
    {"fixtures[].adjusters[].least", either, required, -1000, 1000, "", "", "0", "Where the scale begins.",
     ""},
    {"fixtures[].adjusters[].most", either, required, -1000, 1000, "", "", "120", "Where the scale ends.",
     ""},

    {"rods", list, optional, 1, 60, "", "", "[{alloy = \"RBCuZn-C\", diameter = \"3/32 in\"}]",
     "Filler rods.", ""},
    {"rods[].name", text, optional, 1, 40, "", "", "\"thin bronze\"", "What it is called on the cards.", ""},
    {"rods[].alloy", text, required, 2, 30, "", "", "\"RBCuZn-C\"", "By its AWS A5.8 classification.", ""},
    {"rods[].diameter", length, required, 0.5, 8, "", "", "\"3/32 in\"", "Diameter of the rod.", ""},

    {"stock", list, optional, 1, 200, "", "", "[{kind = \"bar\", diameter = 25, length = 300}]",
     "Lengths on the rack.", ""},
    {"stock[].name", text, optional, 1, 40, "", "", "\"grey bar\"", "What it is called on the cut list.", ""},
    {"stock[].kind", choice, required, 0, 0, "", "tube|bar|plate", "\"bar\"", "What it is.", ""},
    {"stock[].diameter", length, required, 2, 400, "", "", "25", "Outside; of a plate its width.", ""},
    {"stock[].wall", length, optional, 0.3, 40, "", "", "1.6", "Of a tube; of a plate its thickness.", ""},
    {"stock[].length", length, required, 5, 7000, "", "", "300", "How long it is.", ""},
    {"stock[].count", count, assumed, 1, 1000, "1", "", "2", "How many such lengths.", ""},

    {"printers", list, optional, 1, 20, "", "", "[{name = \"library\", bar_x = 99.8, bar_y = 100.1}]",
     "Printers whose check bars were measured.", ""},
    {"printers[].name", text, required, 1, 40, "", "", "\"library\"", "Which printer.", ""},
    {"printers[].bar_x", length, required, 90, 110, "", "", "99.8",
     "What the printed bar across the page measures.", ""},
    {"printers[].bar_y", length, required, 90, 110, "", "", "100.1",
     "What the printed bar up the page measures.", ""},
    {"printers[].paper_thickness", length, assumed, 0, 1, "0.1", "", "0.1", "Thickness of its paper.", ""},

    {"rotary.tool", length, assumed, 0, 30, "0", "", "6",
     "Diameter of the end mill over the rotary axis; 0: a scriber or pen that only marks.", ""},
    {"rotary.feed", ratio, assumed, 1, 10000, "200", "", "200", "Feed along the tube's surface, mm/min.", ""},
    {"rotary.plunge_feed", ratio, assumed, 1, 10000, "50", "", "50", "Feed into the wall, mm/min.", ""},
    {"rotary.safe_height", length, assumed, 1, 200, "10", "", "10",
     "How far above the tube the tool travels freely.", ""},
    {"rotary.through", length, assumed, 0, 5, "0.5", "", "0.5", "How far a mill's tip reaches past the wall.",
     ""},

    {"sheets.paper", choice, assumed, 0, 0, "both", "A4|Letter|both", "\"A4\"", "Paper of the tiled sheets.",
     ""},

    {"tolerances.offset", length, optional, 0, 20, "", "", "0.5", "Plus or minus on the offset.", ""},
    {"tolerances.axle_to_crown", length, optional, 0, 20, "", "", "1", "Plus or minus on the axle-to-crown.",
     ""},
    {"tolerances.over_locknut", length, optional, 0, 10, "", "", "0.5", "Plus or minus on the hub's width.",
     ""},
    {"tolerances.tyre_width", length, optional, 0, 10, "", "", "1", "Plus or minus on the tyre's width.", ""},
    {"tolerances.blade_width", length, optional, 0, 5, "", "", "0.2", "Plus or minus on the blades' width.",
     ""},
    {"tolerances.blade_depth", length, optional, 0, 5, "", "", "0.2", "Plus or minus on the blades' depth.",
     ""},
    {"tolerances.splay", angle, optional, 0, 5, "", "", "0.3", "Plus or minus on the splay.", ""},
};

}  // namespace

std::span<const Row> shop_schema() {
  return kRows;
}

}  // namespace halfround::job
