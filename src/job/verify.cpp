#include "job/verify.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "base/maths.h"
#include "base/number.h"
#include "base/plain.h"
#include "base/say.h"
#include "bike/tyre.h"
#include "job/verify_measures.h"

namespace halfround::job {

using base::Problems;
using base::Vec2;

namespace {

/// A number as it is offered: what is typed from it fits.
std::string offered(double limit, base::Fits fits) {
  return base::shortest(base::reachable(limit, fits, 2));
}

/// What would do: a sentence, and the number in it as something to type.
struct Fits {
  std::string words;
  std::string typed = {};

  Fits(const char* said) : words(said) {}
  Fits(std::string said, std::string number = {}) : words(std::move(said)), typed(std::move(number)) {}
};

/// "Give 12.4 mm or less": the limit itself fits
Fits up_to(double limit) {
  const std::string n = offered(limit, base::Fits::up_to);
  return {base::plainly("Give {} mm or less.", n), n};
}
Fits from(double limit) {
  const std::string n = offered(limit, base::Fits::from);
  return {base::plainly("Give {} mm or more.", n), n};
}
/// The limit itself does not fit.
Fits below(double limit) {
  const std::string n = base::shortest(base::below(limit));
  return {base::plainly("Give {} mm or less.", n), n};
}
Fits above(double limit) {
  const std::string n = base::shortest(base::above(limit));
  return {base::plainly("Give {} mm or more.", n), n};
}

bool known(const Quantity& q) {
  return !q.typed.empty();
}
template <class... Q>
bool known(const Quantity& first, const Q&... rest) {
  return known(first) && known(rest...);
}

/// Twice the area to the left of a -> b -> c.
double turn(const Vec2& a, const Vec2& b, const Vec2& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

bool cross(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

/// The first two sides of a line through points that cross each other; sides are numbered from their first
/// point.
std::optional<std::pair<std::size_t, std::size_t>> crossing(const std::vector<Vec2>& p, bool closed) {
  const std::size_t n = p.size(), sides = closed ? n : n - 1;
  for (std::size_t i = 0; i < sides; ++i) {
    for (std::size_t j = i + 2; j < sides; ++j) {
      if (cross(p[i], p[(i + 1) % n], p[j], p[(j + 1) % n])) return std::pair{i, j};
    }
  }
  return std::nullopt;
}

class Verifier {
 public:
  Verifier(const Job& job, Problems& problems) : job_(job), problems_(problems) {}

  void run() {
    wheel();
    steering();
    steerer();
    const bool sides = job_.right.has_value();
    blade(job_.left, sides ? "blades.left" : "blades");
    if (sides) blade(*job_.right, "blades.right");
    const bool ends = job_.right_lower_end.has_value();
    crown();
    lower_end(job_.lower_end, ends ? "lower_end.left" : "lower_end");
    if (ends) lower_end(*job_.right_lower_end, "lower_end.right");
    if (job_.bicycle) bicycle(*job_.bicycle);
    if (job_.material.own) own_material(*job_.material.own);
  }

 private:
  /// Heat takes strength away and ultimate strength is the most there is.
  void own_material(const OwnMaterial& m) {
    const auto beyond = [&](const char* key, const char* what, const Quantity& value, const char* other,
                            const Quantity& most) {
      if (value.typed.empty() || most.typed.empty() || value.value <= most.value) return;
      complain("material-order", std::string("material.own.") + key,
               base::plainly("The {} is {} MPa, more than the {} of {} MPa.", what, value.value, other,
                             most.value),
               base::plainly("Give {} MPa or less, or correct the {}.", most.value, other));
    };
    beyond("yield", "yield strength", m.yield, "ultimate strength", m.ultimate);
    beyond("joined_yield", "yield strength next to a joint", m.joined_yield, "yield strength as delivered",
           m.yield);
    beyond("joined_ultimate", "ultimate strength next to a joint", m.joined_ultimate,
           "ultimate strength as delivered", m.ultimate);
  }
  void complain(std::string code, const std::string& key, std::string what, Fits fits) {
    base::Place where = place_of(job_, key);
    // a side that takes a key from the section for both is wrong there
    if (!job_.lines.contains(key)) {
      for (const std::string_view side :
           {"blades.left.", "blades.right.", "lower_end.left.", "lower_end.right."}) {
        if (!key.starts_with(side)) continue;
        const std::string common = std::string(side.substr(0, side.find('.') + 1)) + key.substr(side.size());
        if (job_.lines.contains(common)) where = place_of(job_, common);
      }
    }
    std::vector<base::Offer> offers;
    if (!fits.typed.empty()) offers.push_back({where.key, fits.typed, fits.typed + " mm"});
    problems_.push_back(
        {std::move(code), std::move(where), std::move(what), std::move(fits.words), std::move(offers)});
  }

  void wheel();
  void tyre_profile();
  void steering();
  void steerer();
  void blade(const Blade& b, const std::string& at);
  void stations(const Blade& b, const std::string& at);
  void section(const Station& s, const std::string& at);
  void outline(const Station& s, const std::string& at);
  void shape(const Blade& b, const std::string& at);
  void stock(const Blade& b, const std::string& at);
  void trace(const Blade& b, const std::string& at);
  void crown();
  void lower_end(const LowerEnd& e, const std::string& at);
  void bicycle(const Bicycle& b);

  const Job& job_;
  Problems& problems_;
};

void Verifier::wheel() {
  const Wheel& w = job_.wheel;
  if (w.tyre.empty()) return tyre_profile();
  const auto tyre = bike::tyre_from_designation(w.tyre, w.rim_width.value);
  if (!tyre) {
    complain(tyre.error().code, "wheel.tyre", tyre.error().what, tyre.error().fits);
  } else if (known(w.bead_seat) && std::abs(tyre->bead_seat - w.bead_seat.value) > 0.5) {
    complain("bead-seat-differs", "wheel.tyre",
             base::plainly("The tyre {} sits on a bead seat of {} mm, the rim has {} mm.", w.tyre,
                           tyre->bead_seat, w.bead_seat.value),
             base::plainly("Give a tyre that ends in -{}, or correct wheel.bead_seat.", w.bead_seat.value));
  }
}

void Verifier::tyre_profile() {
  const Wheel& w = job_.wheel;
  if (known(w.outside_diameter, w.bead_seat) && w.outside_diameter.value <= w.bead_seat.value + 10) {
    complain("tyre-smaller-than-rim", "wheel.tyre.outside_diameter",
             base::plainly("The tyre's outside diameter is {} mm, the bead seat alone {} mm.",
                           w.outside_diameter.value, w.bead_seat.value),
             "Measure over the tread of the inflated tyre, or twice from the axle's middle to the tread.");
    return;
  }
  const auto& profile = w.half_profile;
  const auto row = [](std::size_t i) { return fmt::format("wheel.tyre.half_profile[{}]", i + 1); };
  std::vector<Vec2> p;
  for (const TyrePoint& t : profile) {
    if (!known(t.half_width, t.below_top)) return;
    p.emplace_back(t.half_width.value, t.below_top.value);
  }
  if (p.size() < 3) return;
  if (p[0].y() != 0) {
    complain("tyre-profile-top", row(0), base::plainly("The first point lies {} mm below the top.", p[0].y()),
             "Begin at the top of the tread: [0, 0], or [half the flat, 0].");
    return;
  }
  if (const auto c = crossing(p, false)) {
    complain("tyre-profile-crosses", row(c->second),
             fmt::format("The profile crosses itself: the line from point {} meets the line from point {}.",
                         c->second + 1, c->first + 1),
             "List the points in order from the top of the tread down to the rim.");
    return;
  }
  for (std::size_t i = 1; i < p.size(); ++i) {
    if (p[i].y() <= p[i - 1].y()) {
      complain("tyre-profile-not-falling", row(i),
               base::plainly("Point {} lies {} mm below the top, the one before it {} mm.", i + 1, p[i].y(),
                             p[i - 1].y()),
               "Each point must lie farther below the top than the one before it.");
      return;
    }
    if (p[i].x() <= 0) {
      complain("tyre-profile-closed", row(i), fmt::format("Point {} has no width.", i + 1),
               "Only the first point may stand in the middle; stop at the edge of the rim.");
      return;
    }
  }
  if (known(w.outside_diameter, w.bead_seat)) {
    const double room = (w.outside_diameter.value - w.bead_seat.value) / 2 + 10;
    if (p.back().y() > room) {
      complain("tyre-profile-below-rim", row(p.size() - 1),
               base::plainly("The last point lies {} mm below the top, {} mm below the bead seat.",
                             p.back().y(), p.back().y() - room + 10),
               "Stop where the tyre meets the rim.");
      return;
    }
  }
  // seen from its middle the profile has to go round one way
  const auto widest =
      std::max_element(p.begin(), p.end(), [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
  const double middle = std::max(widest->y(), 0.25 * p.back().y());
  for (std::size_t i = 1; i < p.size(); ++i) {
    const auto round = [&](const Vec2& q) { return std::atan2(q.x(), middle - q.y()); };
    if (round(p[i]) <= round(p[i - 1]) + 1e-6) {
      complain("tyre-profile-hollow", row(i),
               fmt::format("At point {} the profile turns back on itself.", i + 1),
               "Measure over the knobs, not between them, and leave this point out.");
      return;
    }
  }
}

void Verifier::steering() {
  const Steering& s = job_.steering;
  if (!known(s.offset, s.axle_to_crown)) return;
  if (s.axle_to_crown_is == AxleToCrown::straight && s.axle_to_crown.value <= std::abs(s.offset.value) + 1) {
    complain("axle-to-crown-too-short", "steering.axle_to_crown",
             base::plainly("A straight axle-to-crown of {} mm leaves no height with an offset of {} mm.",
                           s.axle_to_crown.value, s.offset.value),
             "Measure from the axle's middle straight to the crown race seat.");
  }
  const Wheel& w = job_.wheel;
  const double radius = known(w.outside_diameter) ? w.outside_diameter.value / 2
                        : known(w.bead_seat)      ? w.bead_seat.value / 2
                                                  : 0;
  if (s.axle_to_crown.value < radius) {
    complain(
        "axle-to-crown-inside-wheel", "steering.axle_to_crown",
        base::plainly("The axle-to-crown is {} mm, but the wheel alone reaches {} mm up from the axle.",
                      s.axle_to_crown.value, radius),
        base::plainly(
            "Give more: the wheel's radius of {} mm, the air over it and the blades' height at the crown.",
            radius));
  }
}

void Verifier::steerer() {
  const Steerer& s = job_.steerer;
  if (known(s.length, s.below_seat) && s.below_seat.value >= s.length.value) {
    complain("seat-above-steerer", "steerer.below_seat",
             base::plainly("The crown race seat stands {} mm up a steerer of {} mm.", s.below_seat.value,
                           s.length.value),
             {base::plainly("Give {} mm or less: from the steerer's lower end up to the seat.",
                            base::below(s.length.value)),
              base::shortest(base::below(s.length.value))});
  }
  if (s.crown_race && known(*s.crown_race, s.diameter) && s.crown_race->value < s.diameter.value - 1e-9) {
    complain("crown-race-too-small", "steerer.crown_race",
             base::plainly("The crown race seat has {} mm, the steerer in it {} mm.", s.crown_race->value,
                           s.diameter.value),
             from(s.diameter.value));
  }
  double thinnest = 1e9;
  for (std::size_t i = 0; i < s.diameters.size(); ++i) {
    const DiameterPoint& d = s.diameters[i];
    const std::string key = fmt::format("steerer.diameters[{}].at", i + 1);
    if (known(d.diameter)) thinnest = std::min(thinnest, d.diameter.value);
    if (i > 0 && known(d.at, s.diameters[i - 1].at) && d.at.value <= s.diameters[i - 1].at.value) {
      complain("stations-not-rising", key,
               base::plainly("Found {} mm after {} mm.", d.at.value, s.diameters[i - 1].at.value),
               "Go from the steerer's lower end up; each distance is greater than the one before it.");
    }
    if (known(d.at, s.length) && d.at.value > s.length.value + 1e-9) {
      complain("station-beyond-stock", key,
               base::plainly("Found {} mm on a steerer of {} mm.", d.at.value, s.length.value),
               up_to(s.length.value));
    }
  }
  for (std::size_t i = 0; i < s.walls.size(); ++i) {
    const bool one = job_.lines.contains("steerer.wall");
    const std::string key = one ? "steerer.wall" : fmt::format("steerer.walls[{}]", i + 1);
    const WallPoint& w = s.walls[i];
    if (known(w.wall) && 2 * w.wall.value >= thinnest) {
      complain("wall-too-thick", one ? key : key + ".wall",
               base::plainly("Two walls of {} mm fill the steerer of {} mm.", w.wall.value, thinnest),
               below(thinnest / 2));
    }
    if (i > 0 && known(w.at, s.walls[i - 1].at) && w.at.value <= s.walls[i - 1].at.value) {
      complain("stations-not-rising", key + ".at",
               base::plainly("Found {} mm after {} mm.", w.at.value, s.walls[i - 1].at.value),
               "Go from the steerer's lower end up; each distance is greater than the one before it.");
    }
    if (known(w.at, s.length) && w.at.value > s.length.value + 1e-9) {
      complain("station-beyond-stock", key + ".at",
               base::plainly("Found {} mm on a steerer of {} mm.", w.at.value, s.length.value),
               up_to(s.length.value));
    }
  }
}

// ---- blades
// ------------------------------------------------------------------------------------------------------

double length_of(const Run& run) {
  return run.bend ? run.angle.value * run.radius.value : run.straight.value;
}

std::optional<double> shape_length(const Blade& b) {
  double sum = 0;
  for (const Run& run : b.shape) {
    if (!(run.bend ? known(run.angle, run.radius) : known(run.straight))) return std::nullopt;
    sum += length_of(run);
  }
  for (std::size_t i = 1; i < b.traced.size(); ++i) {
    const TracePoint &p = b.traced[i - 1], &q = b.traced[i];
    if (!known(p.along, p.inward, p.forward) || !known(q.along, q.inward, q.forward)) return std::nullopt;
    sum += std::hypot(q.along.value - p.along.value, q.inward.value - p.inward.value,
                      q.forward.value - p.forward.value);
  }
  return sum;
}

void Verifier::blade(const Blade& b, const std::string& at) {
  stations(b, at);
  shape(b, at);
  trace(b, at);
  stock(b, at);
}

void Verifier::section(const Station& s, const std::string& at) {
  if (!known(s.width, s.depth, s.wall)) return;
  const double least = std::min(s.width.value, s.depth.value);
  if (2 * s.wall.value < least) return;
  complain("wall-too-thick", at + ".wall",
           base::plainly("Two walls of {} mm fill the section of {} mm.", s.wall.value, least),
           below(least / 2));
}

void Verifier::outline(const Station& s, const std::string& at) {
  std::vector<Vec2> p;
  for (const OutlinePoint& o : s.outline) {
    if (!known(o.outward, o.rearward)) return;
    p.emplace_back(o.outward.value, o.rearward.value);
  }
  if (p.size() < 6) return;
  const auto row = [&](std::size_t i) { return fmt::format("{}.outline[{}]", at, i + 1); };
  if (const auto c = crossing(p, true)) {
    complain("outline-crosses", row(c->second),
             fmt::format("The outline crosses itself: the side from point {} meets the side from point {}.",
                         c->second + 1, c->first + 1),
             "List the points in order once round the section.");
    return;
  }
  // every side has to be seen from the middle on the same hand
  double area = 0;
  for (std::size_t i = 0; i < p.size(); ++i)
    area += p[i].x() * p[(i + 1) % p.size()].y() - p[i].y() * p[(i + 1) % p.size()].x();
  const double hand = area >= 0 ? 1 : -1;
  double least = INFINITY, round = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Vec2 &a = p[i], &b = p[(i + 1) % p.size()];
    if (hand * (a.x() * b.y() - a.y() * b.x()) <= 1e-6) {
      complain(
          "outline-middle-outside", row(i),
          fmt::format("From point {} to the next the outline doesn't go round the middle (0, 0).", i + 1),
          "Measure from a middle that lies well inside, once round, with no point twice.");
      return;
    }
    least = std::min(least, a.norm());
    round += std::atan2(hand * (a.x() * b.y() - a.y() * b.x()), a.dot(b));
    // sides that lie on sides cross nowhere
    if (round > 2 * base::kPi + 1e-6) {
      complain("outline-round-twice", row(i),
               fmt::format("From point {} on the outline goes round a second time.", i + 1),
               "Measure once round, with no point twice.");
      return;
    }
  }
  if (known(s.wall) && s.wall.value >= least) {
    complain(
        "wall-too-thick", at + ".wall",
        base::plainly("A wall of {} mm reaches the middle, {} mm from the outline.", s.wall.value, least),
        below(least));
  }
}

void Verifier::stations(const Blade& b, const std::string& at) {
  for (std::size_t i = 0; i < b.stations.size(); ++i) {
    const Station& s = b.stations[i];
    const std::string key = fmt::format("{}.stations[{}]", at, i + 1);
    section(s, key);
    outline(s, key);
    if (i > 0 && known(s.at, b.stations[i - 1].at) && s.at.value <= b.stations[i - 1].at.value) {
      complain("stations-not-rising", key + ".at",
               base::plainly("Found {} mm after {} mm.", s.at.value, b.stations[i - 1].at.value),
               "Go from the tip up; each distance is greater than the one before it.");
    }
  }
  if (b.stations.size() == 1 && known(b.stations[0].at) && b.stations[0].at.value > 0) {
    complain("stations-too-few", at + ".stations",
             base::plainly("There is one station, {} mm from the tip.", b.stations[0].at.value),
             "Measure a tapered blade at two places or more; a blade that is the same all along has its one "
             "station at 0.");
  }
}

void Verifier::shape(const Blade& b, const std::string& at) {
  for (std::size_t i = 0; i < b.shape.size(); ++i) {
    const Run& run = b.shape[i];
    const std::string key = fmt::format("{}.shape[{}]", at, i + 1);
    if (run.bend && known(run.radius, run.angle)) {
      double half = 0;
      const bool across = run.toward == Toward::inward || run.toward == Toward::outward;
      for (const Station& st : b.stations) {
        if (known(st.width, st.depth)) half = std::max(half, (across ? st.width.value : st.depth.value) / 2);
      }
      if (run.radius.value <= half) {
        complain("bend-too-tight", key + ".radius",
                 base::plainly("A radius of {} mm to the middle line folds a tube that is {} mm thick.",
                               run.radius.value, 2 * half),
                 above(half));
      }
    }
  }
}

void Verifier::trace(const Blade& b, const std::string& at) {
  for (std::size_t i = 1; i < b.traced.size(); ++i) {
    const TracePoint &p = b.traced[i - 1], &q = b.traced[i];
    if (!known(p.along, q.along) || q.along.value > p.along.value) continue;
    complain("trace-not-rising", fmt::format("{}.traced[{}]", at, i + 1),
             base::plainly("Found {} mm along the blade after {} mm.", q.along.value, p.along.value),
             "Go from the tip up; each point lies farther along than the one before it.");
  }
}

/// How much more than of the middle line a tape shows at the most, where the rings were measured on the skin.
double added_on_skin(const Blade& b) {
  if (b.rings_along == RingsAlong::centreline) return 0;
  double half = 0, turned = 0;
  for (const Station& st : b.stations) {
    if (known(st.width)) half = std::max(half, st.width.value / 2);
    for (const OutlinePoint& p : st.outline) half = std::max(half, std::abs(p.outward.value));
  }
  const Toward away = b.rings_along == RingsAlong::outside ? Toward::inward : Toward::outward;
  for (const Run& run : b.shape) {
    if (run.bend && run.toward == away && known(run.angle)) turned += run.angle.value;
  }
  if (!b.traced.empty()) turned = base::kPi / 2;
  return half * turned;
}

void Verifier::stock(const Blade& b, const std::string& at) {
  const auto shaped = shape_length(b);
  if (!shaped || *shaped <= 0 || (b.stock_length && !known(*b.stock_length))) return;
  if (!known(b.below_shape)) return;
  const double below = b.below_shape.value, needed = below + *shaped;
  const double stock = b.stock_length ? b.stock_length->value : needed;
  if (b.stock_length && needed > stock + 0.5) {
    complain(
        "stock-too-short", at + ".stock_length",
        base::say("The pieces of the shape make {:.1f} mm{}, the stock is {} mm long: {:.1f} mm too short.",
                  *shaped, below > 0 ? base::plainly(" and {} mm lie below them", below) : "",
                  base::plain(stock), needed - stock),
        {below > 0 ? base::plainly("Give {} mm or more, or less in below_shape.",
                                   base::reachable(needed, base::Fits::from))
                   : base::plainly("Give {} mm or more, or shorten the last piece by {} mm.",
                                   base::reachable(needed, base::Fits::from),
                                   base::reachable(needed - stock, base::Fits::from)),
         base::shortest(base::reachable(needed, base::Fits::from))});
  }
  // 1 mm for the tape, and what it shows more of on the outside of the bends
  const double most = std::max(stock, needed) - below + added_on_skin(b);
  for (std::size_t i = 0; i < b.stations.size(); ++i) {
    const Station& s = b.stations[i];
    if (!known(s.at) || s.at.value <= most + 1) continue;
    complain(
        "station-beyond-stock", fmt::format("{}.stations[{}].at", at, i + 1),
        base::say("Found a station at {} mm on a blade of {:.1f} mm.", base::plain(s.at.value), stock),
        {base::plainly("Give {} mm or less, or a longer stock_length.", offered(most, base::Fits::up_to)),
         offered(most, base::Fits::up_to)});
  }
}

// ---- crown

/// Which wishes go with which crown: the height is the crown's own, unless the blades run to the steerer.
void Verifier::crown() {
  // which wishes go with a fork that can't be laid out nobody can say
  if (std::ranges::find(problems_, "construction-beyond", &base::Problem::code) != problems_.end()) return;
  const CrownPart& c = job_.crown;
  const CrownRow& row = row_of(c.kind);
  for (const std::vector<Wished>* wishes : {&job_.wishes.two, &job_.wishes.right}) {
    for (const Wished& w : *wishes) {
      if (row.own_height && w.what == Wish::crown_height) {
        complain("wish-not-for-crown", "wishes.crown_height",
                 "The crown's height stands in crown.height: it can't be wished for as well.",
                 "Wish for clearance, splay, spacing, top_angle, lower_trim or upper_trim instead.");
      }
      if (row.own_place && w.what == Wish::spacing) {
        complain("wish-not-for-crown", "wishes.spacing",
                 "The spacing is the crown's own: it stands in crown.spacing.",
                 "Wish for one of lower_trim, upper_trim, clearance, splay, top_angle.");
      }
      if (!row.own_height && w.what == Wish::spacing) {
        complain("wish-not-for-crown", "wishes.spacing",
                 "The blades of a unicrown run together at the steerer.",
                 "Wish for crown_height, clearance, splay, top_angle, lower_trim or upper_trim instead.");
      }
    }
  }
  if (row.own_place && job_.lines.contains("shares.mitre_offset")) {
    complain("share-not-for-crown", "shares.mitre_offset",
             "How far the blades stand ahead at the crown is the crown's own: crown.ahead.",
             "Take the line out; tilt, rake or dropout_lead can take the remainder.");
  }
  if (known(c.diameter, c.wall) && 2 * c.wall.value >= c.diameter.value) {
    complain(
        "wall-too-thick", "crown.wall",
        base::plainly("Two walls of {} mm fill the crown tube of {} mm.", c.wall.value, c.diameter.value),
        below(c.diameter.value / 2));
  }
}

// ---- lower end
// ---------------------------------------------------------------------------------------------------

void Verifier::lower_end(const LowerEnd& e, const std::string& at) {
  const layout::LowerEndRow& row = layout::row_of(e.kind);
  if (row.barrel) {
    if (known(e.bore, e.diameter) && e.bore.value >= e.diameter.value - 1) {
      complain("bore-too-wide", at + ".bore",
               base::plainly("A bore of {} mm leaves no wall in a barrel of {} mm.", e.bore.value,
                             e.diameter.value),
               below(e.diameter.value - 1));
    }
    return;
  }
  if (row.axle == layout::AxleHold::slot && known(e.slot_width, job_.hub.axle) &&
      e.slot_width.value < job_.hub.axle.value - 1e-9) {
    complain("slot-too-narrow", at + ".slot_width",
             base::plainly("The axle of {} mm doesn't go into a slot of {} mm.", job_.hub.axle.value,
                           e.slot_width.value),
             from(job_.hub.axle.value));
  }
}

// ---- bicycle
// ---------------------------------------------------------------------------------------------------

void Verifier::bicycle(const Bicycle& b) {
  if (!known(b.wheelbase, b.rider_mass, b.rider_ahead, b.frame_mass, b.frame_ahead, b.front_mass,
             b.front_behind, b.rear_wheel_mass, b.front_wheel_mass)) {
    return;
  }
  const double w = b.wheelbase.value;
  const double mass = b.rider_mass.value + b.frame_mass.value + b.front_mass.value + b.rear_wheel_mass.value +
                      b.front_wheel_mass.value;
  const double ahead = (b.rider_mass.value * b.rider_ahead.value + b.frame_mass.value * b.frame_ahead.value +
                        b.front_mass.value * (w - b.front_behind.value) + b.front_wheel_mass.value * w) /
                       mass;
  if (ahead > 0 && ahead < w) return;
  complain(
      "weight-outside-wheels", "bicycle.rider_ahead",
      base::say("All the weight together stands {:.0f} mm ahead of the rear axle, the wheelbase is {} mm: "
                "the bicycle tips over.",
                ahead, base::plain(w)),
      "Give the places of the weights so that together they stand between the wheels.");
}

}  // namespace

void verify(const Job& job, Problems& problems) {
  Verifier(job, problems).run();
  verify_measures(job, problems);
}

}  // namespace halfround::job
