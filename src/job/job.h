// What the builder typed, with units resolved and nothing worked out: the parts on the bench and what is
// wanted. Frame: none; blades are described tip first, as they lie on the bench (docs/job-file.md). Plain
// data, no geometry.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/quantity.h"
#include "base/result.h"
#include "bike/brake.h"
#include "bike/material.h"
#include "bike/part.h"
#include "job/done.h"
#include "layout/words.h"
#include "study/load_case.h"
#include "study/words.h"

namespace halfround::job {

using base::Quantity;  ///< value in mm, rad or kg, and the text as typed

inline constexpr int kVersion = 1;  ///< the newest version of the job file this program reads

/// Where a key stands in the job file.
struct Line {
  int line = 0;
  int column = 0;
};

struct TyrePoint {
  Quantity half_width;  ///< from the wheel's middle plane, mm
  Quantity below_top;   ///< from the top of the tread toward the axle, mm
};

struct Wheel {
  Quantity bead_seat;                     ///< diameter, mm
  Quantity rim_width;                     ///< inside, between the hooks, mm
  std::string tyre;                       ///< designation such as "54-559"; empty when measured
  Quantity outside_diameter;              ///< of the inflated tyre, measured, mm
  std::optional<Quantity> loaded_radius;  ///< axle to ground with the rider on, measured, mm
  std::vector<TyrePoint> half_profile;    ///< from the top down; empty when given by designation
};

struct Hub {
  Quantity over_locknut;
  Quantity axle;  ///< diameter, mm
};

/// Which of the two lengths axle_to_crown is.
enum class AxleToCrown { straight, along_the_axis };

struct Steering {
  Quantity head_angle;  ///< to the ground, rad
  Quantity offset;
  Quantity axle_to_crown;
  AxleToCrown axle_to_crown_is = AxleToCrown::straight;
};

struct WallPoint {
  Quantity at;  ///< from the steerer's lower end, mm
  Quantity wall;
};

/// Outside of a steerer that is not the same all along.
struct DiameterPoint {
  Quantity at;  ///< from the steerer's lower end, mm
  Quantity diameter;
};

struct Steerer {
  Quantity diameter;                     ///< at the lower end
  std::vector<DiameterPoint> diameters;  ///< one: the same all along
  std::vector<WallPoint> walls;          ///< one: the same wall all along
  Quantity length;
  Quantity below_seat;                 ///< from the lower end up to the crown race seat, mm
  std::optional<Quantity> crown_race;  ///< diameter of the crown race seat, mm
};

struct OutlinePoint {
  Quantity outward, rearward;  ///< from the tube's centre, away from the wheel and backward, mm
};

/// What was measured at one place of a blade.
struct Station {
  Quantity at;            ///< from where the shape begins, along `rings_along`, mm
  Quantity width, depth;  ///< outside, across the bike and fore and aft, mm; unused with an outline
  Quantity wall;
  std::vector<OutlinePoint> outline;  ///< measured points round the section; empty: an ellipse
};

enum class Toward { outward, rearward, inward, forward };

/// One straight piece or one bend.
struct Run {
  bool bend = false;
  Quantity straight;  ///< length of a straight piece, mm
  Quantity angle;     ///< of a bend, rad
  Quantity radius;    ///< of a bend, to the centreline, mm
  Toward toward = Toward::inward;
};

struct TracePoint {
  Quantity along, inward, forward;  ///< mm
};

/// What lies between two rings of a blade.
enum class BetweenRings { straight, smooth };
/// Where the tape lay that measured the rings.
enum class RingsAlong { outside, centreline, inside };

struct Blade {
  std::vector<Station> stations;
  BetweenRings between_rings = BetweenRings::straight;
  RingsAlong rings_along = RingsAlong::outside;
  std::vector<Run> shape;                 ///< from the tip up; empty when traced
  std::vector<TracePoint> traced;         ///< from the tip up; empty when given as pieces
  std::optional<Quantity> stock_length;   ///< along the centreline, mm; empty: as long as its shape
  Quantity below_shape;                   ///< of the stock, below where the shape begins, mm
  std::optional<Quantity> measured_mass;  ///< of the whole stock on the scales, kg
};

enum class CrownKind { unicrown, segmented, plate, socket };

/// What reader, wishes and sheets ask of a kind of crown.
struct CrownRow {
  CrownKind value;
  std::string_view key, words;
  std::string_view top;   ///< what the blades run to, in a word
  bool own_height;        ///< crown.height: none can be wished for
  bool own_place;         ///< the sockets settle spacing and lead: neither wish nor share
  std::string_view keys;  ///< its measures, with a space on either side of each
};
inline constexpr std::array<CrownRow, 4> kCrowns{
    {{CrownKind::unicrown, "unicrown", "unicrown", "steerer", false, false, ""},
     {CrownKind::segmented, "segmented", "segmented crown", "crown", true, false,
      " diameter wall height angle above cap "},
     {CrownKind::plate, "plate", "plate crown", "crown", true, false,
      " plates height thickness between edge least above cap "},
     {CrownKind::socket, "socket", "socket crown", "crown", true, true,
      " height thickness edge spacing splay lean ahead socket_width socket_depth socket_reach "}}};
static_assert(base::complete(kCrowns));
[[nodiscard]] constexpr const CrownRow& row_of(CrownKind kind) {
  return base::word_of(kCrowns, kind);
}

/// What holds the blades at the top.
struct CrownPart {
  CrownKind kind = CrownKind::unicrown;
  Quantity diameter, wall, height, angle, above, cap;
  int plates = 1;
  Quantity thickness, between, edge, least;
  Quantity spacing, splay, lean, ahead, socket_width, socket_depth, socket_reach;
};

using layout::LowerEndKind;

struct LowerEnd {
  LowerEndKind kind = LowerEndKind::insert;
  Quantity blade_from_hub, rise, diameter, length, bore, thickness, slot_depth, slot_width, socket_depth,
      edge;
};

using bike::Mount;

/// A bolt of a calliper: from the axle square to the mount's face, and along it.
struct Bolt {
  Quantity face, along;  ///< mm
};

struct Brake {
  Mount mount = Mount::none;
  std::optional<Quantity> rotor;             ///< diameter, mm
  Quantity rotor_from_hub;                   ///< from the hub's face in to the rotor's inner face, mm
  std::optional<Quantity> bolts_from_rotor;  ///< from there out to the bolts, mm
  std::vector<Bolt> bolts;                   ///< none: the post mount's own, or not known
  std::optional<Quantity> lean;              ///< of the face, its top forward, rad; empty: along the blade
  Quantity post;                             ///< diameter of a post, width of the foot, mm
};

using study::FeatureKind;

/// A small part or an opening, on a member.
struct Feature {
  FeatureKind kind = FeatureKind::boss;
  bike::Part on;
  std::optional<Quantity> at;  ///< from the lower end of the stock along its middle line, mm; empty: by rule
  std::optional<Quantity> clock;  ///< rad; empty: the rule's side, else the mark line
  std::optional<Quantity> size;   ///< mm; empty: the rule's
};

/// A plate in the corner of a mitred joint, on both sides.
struct Gusset {
  bike::PartKind first = bike::PartKind::blade, second = bike::PartKind::crown_tube;
  bool above = false;
  Quantity along_first, along_second, thickness;  ///< mm
  std::optional<Quantity> hollow;                 ///< radius of the free edge, mm
};

using layout::Share;

/// The lengths given to the shares of the offset; a share without one is 0, is the blade's own (rake) or
/// takes the remainder.
struct Shares {
  std::optional<Quantity> tilt, mitre_offset, dropout_lead;
  std::optional<Share> remainder;  ///< empty: every share is given
};

using layout::Wish;

struct Wished {
  Wish what = Wish::clearance;
  Quantity value;  ///< mm or rad
};

struct Wishes {
  std::vector<Wished> two;    ///< exactly two, in the order of Wish
  std::vector<Wished> right;  ///< the right blade's own two; none: as the left one's
  Quantity lean_to;           ///< of several forks the one nearest this splay is taken, rad
};

enum class Paper { a4, letter, both };

struct Sheets {
  Paper paper = Paper::both;
  Quantity scribe_gap;  ///< from the lowest point of a cut back to its scribe line, mm
};

struct Printer {
  Quantity bar_x, bar_y;  ///< what the printed 100 mm bars measure across and up the page, mm
  Quantity paper_thickness;
};

/// The whole bicycle with its rider, for the handling study. Centres of gravity stand ahead of the rear axle,
/// behind the front axle, above level ground.
struct Bicycle {
  Quantity wheelbase;
  std::optional<Quantity> rear_radius;  ///< empty: as the front wheel's
  Quantity rider_mass, rider_ahead, rider_height;
  Quantity frame_mass, frame_ahead, frame_height;   ///< what does not steer, without the wheel
  Quantity front_mass, front_behind, front_height;  ///< what steers, without the wheel
  Quantity rear_wheel_mass, front_wheel_mass;
  std::optional<Quantity> chainstay, bracket_drop;  ///< of the frame; the drop is below the rear axle
};

/// What the toe is checked with.
struct Pedals {
  Quantity crank_length;
  std::optional<Quantity> front_centre, bracket_drop;  ///< empty: they follow from the bicycle
  Quantity from_middle;
  bool foot_held = false;
};

/// One filler, laid up to this radius.
struct Pass {
  std::string filler;
  Quantity radius;  ///< mm
};

struct Joining {
  std::vector<Pass> passes;  ///< empty: as usual
  std::string slot_filler;
  Quantity slot_gap, root_gap, leg_least, leg_most, waste;
};

using BicycleType = study::TestedAs;

/// What the published limits are taken for, and what is lost on the road.
struct Checks {
  BicycleType type = BicycleType::city;
  std::optional<Quantity> clearance;  ///< the builder's own least air after the allowances, mm
  Quantity growth, out_of_true, hop, mud;
};

struct Mudguard {
  Quantity half_width, gap, thickness, depth;
};

/// A material of the builder's own, MPa and kg/m3. Beside a joint 0: nobody has said.
struct OwnMaterial {
  bike::BaseMetal metal = bike::BaseMetal::steel;
  Quantity yield, ultimate, joined_yield, joined_ultimate, density;
  std::string source;
};
inline constexpr std::string_view kOwnMaterial = "own";  ///< what a part names that is made of it

/// Names of rows in bike/material.h, or kOwnMaterial.
struct Materials {
  std::string steerer, blades, lower_end;
  std::string crown;  ///< empty: as the blades
  std::optional<OwnMaterial> own = {};
};

enum class LoadToward { rearward, forward, left, right, upward };

/// A load of the builder's own, at the axle.
struct Load {
  std::string name;
  Quantity force;  ///< N
  LoadToward toward = LoadToward::rearward;
  std::optional<Quantity> cycles;  ///< to and fro; empty: once and held
};

/// A published load that this fork is not judged by, and why.
struct LeftOut {
  study::PublishedLoad load = study::PublishedLoad::static_bending;
  std::string reason;
};

struct StrengthRules {
  Quantity upper_bearing;
  bool axle_clamped = true;
  Quantity axle_bore, heat_reach, notch_factor, notch_reach;
  Quantity endurance_ratio, surface_a, surface_b, reliability;
  std::string rule_edition;
  Quantity yield_margin, fatigue_margin;
  std::vector<Load> loads;
  std::vector<LeftOut> left_out;
};

enum class ErrorSpread { normal, uniform, triangular };

/// How the fork is held while it is tacked: what decides where the axle comes.
enum class Held { in_fixture, freehand };

/// How far the finished fork may be off.
struct Limits {
  Quantity centring, faces, height, spacing;
};

struct Tolerance {
  std::string of;       ///< the dimension's key: "offset"
  Quantity plus_minus;  ///< mm or rad
};

struct Job {
  std::string file;
  int version = kVersion;
  std::string name, note;
  Wheel wheel;
  Hub hub;
  Steering steering;
  Steerer steerer;
  Blade left;
  std::optional<Blade> right;  ///< empty: mirror image of the left one
  CrownPart crown;
  LowerEnd lower_end;                       ///< of both sides, or of the left one
  std::optional<LowerEnd> right_lower_end;  ///< empty: like the left one
  Brake brake;
  std::vector<Feature> features;
  std::vector<Gusset> gussets;
  Shares shares;
  Wishes wishes;
  std::optional<Bicycle> bicycle;    ///< empty: nobody asks how it steers
  std::optional<Pedals> pedals;      ///< empty: nobody asks about the toe
  std::optional<Mudguard> mudguard;  ///< empty: none
  Checks checks;
  Materials material;
  StrengthRules strength;
  Joining joining;
  Sheets sheets;
  Printer printer;
  std::vector<Tolerance> tolerances;  ///< in the order of the schema
  ErrorSpread spread = ErrorSpread::normal;
  Held held = Held::in_fixture;
  bool cold_set = true;  ///< measured and cold set after joining
  Quantity spare;        ///< left on the upper mitres to be filed to fit, mm
  Quantity accepted;     ///< chance of missing a limit that is lived with
  Limits limits;
  std::optional<Done> done;           ///< what is finished or measured; empty: nothing said
  std::optional<Freedoms> freedoms;   ///< empty: neither [done] nor [freedoms] is there
  std::vector<std::string> assumed;   ///< keys the job leaves out and whose default was taken
  std::map<std::string, Line> lines;  ///< every key that stands in the file: "steering.offset"
};

/// Where to point when something about `key` is wrong: its own line, else that of the section it belongs to.
[[nodiscard]] base::Place place_of(const Job& job, const std::string& key);

}  // namespace halfround::job
