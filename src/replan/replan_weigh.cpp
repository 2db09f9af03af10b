#include "replan/replan_weigh.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "job/intent.h"

namespace halfround::replan {

namespace {

constexpr double kRiderWeight = 4;  // against what only the builder sees
constexpr double kCutAgain = 0.1,
                 kFileIt = 0.05;  // of a freedom squared: a quarter of an hour [our own figures]

/// The mitre of one end; null where that end is not mitred.
const study::Mitre* mitre_at(const Side& side, bike::End end) {
  for (const study::Mitre& m : side.mitres) {
    if (m.end == end) return &m;
  }
  return nullptr;
}

}  // namespace

double Move::used() const {
  const double by = only_less ? std::max(0.0, was - is) : std::abs(difference());
  const double half = (angle ? kFileTurn : kFileStep) / 2;
  if (by < half) return 0;  // no file makes that
  if (freedom > 0 && by > freedom && by < freedom + half) return 1;
  return freedom > 0 ? by / freedom : INFINITY;
}

bool Alternative::allowed() const {
  return std::ranges::all_of(moves, [](const Move& m) { return m.used() <= 1 + 1e-9; });
}

bool Alternative::unchanged() const {
  return std::ranges::all_of(moves, [](const Move& m) { return std::abs(m.difference()) < kSame; });
}

layout::Fork joined(const layout::Fork& left, const layout::Fork& right) {
  layout::Fork out = left;
  out.right = right.left, out.mirrored = false;
  const auto put = [](auto& into, const auto& from) {
    for (auto& part : into) {
      if (part.part.side != bike::Side::right) continue;
      for (const auto& other : from) {
        if (other.part == part.part) part = other;
      }
    }
  };
  put(out.assembly.members, right.assembly.members);
  put(out.assembly.plates, right.assembly.plates);
  return out;
}

Weigher::Weigher(const job::Job& job, const Facts& facts) : job_(job), facts_(facts) {}

void Weigher::moves(const Side& left, const Side& right, Alternative& way) const {
  const job::Steering& s = job_.steering;
  const bool straight = s.axle_to_crown_is == job::AxleToCrown::straight;
  const auto length = [&](const layout::Intent& u) {
    return straight ? std::hypot(u.drop, u.offset) : u.drop;
  };
  way.moves.push_back({"axle_to_crown", "axle-to-crown", length(facts_.plan[0].intent), length(left.intent),
                       facts_.free.axle_to_crown.value, false, true});
  way.moves.push_back({"offset", "offset", facts_.plan[0].intent.offset, left.intent.offset,
                       facts_.free.offset.value, false, true});
  const double past_was = layout::past_line(facts_.plan[0].intent.crown),
               past = layout::past_line(left.intent.crown);
  if (past_was > 0)
    way.moves.push_back(
        {"past_crown", "blades past the crown's line", past_was, past, past_was, false, false});
  // what is alike on both sides is said once
  struct Row {
    const char *key, *what;
    double was[2], is[2], freedom;
    bool angle, only_less;
  };
  const Side* now[2] = {&left, &right};
  const auto both = [&](const auto& f) { return std::pair{f(*now[0]), f(*now[1])}; };
  const auto row = [&](const char* key, const char* what, const auto& f, double freedom, bool angle,
                       bool less) {
    const auto [l, r] = both(f);
    return Row{key, what, {f(facts_.plan[0]), f(facts_.plan[1])}, {l, r}, freedom, angle, less};
  };
  const Row rows[] = {
      row(
          "crown_height", "crown height", [](const Side& q) { return q.at().crown_height; },
          facts_.free.crown_height.value, false, false),
      row(
          "splay", "splay", [](const Side& q) { return q.at().splay; }, facts_.free.splay.value, true, false),
      row(
          "blade_from_hub", "blade's distance from the hub",
          [](const Side& q) { return q.intent.lower_end.blade_from_hub; }, facts_.free.blade_from_hub.value,
          false, false),
      row(
          "clearance", "tyre clearance", [](const Side& q) { return q.at().clearance.value; },
          facts_.free.clearance.value, false, true),
  };
  for (const Row& q : rows) {
    const bool alike = std::abs(q.was[0] - q.was[1]) < kSame && std::abs(q.is[0] - q.is[1]) < kSame;
    for (const bool is_left : {true, false}) {
      const std::size_t i = is_left ? 0 : 1;
      const std::string key = alike ? q.key : fmt::format("{}.{}", q.key, side_name(is_left));
      const std::string what = alike ? q.what : fmt::format("{} {}", side_name(is_left), q.what);
      way.moves.push_back({key, what, q.was[i], q.is[i], q.freedom, q.angle, false, q.only_less});
      if (alike) break;
    }
  }
}

void Weigher::broken(const Side& left, const Side& right, Alternative& way) const {
  const auto wished = [&](layout::Wish what) -> std::optional<double> {
    for (const job::Wished& w : job_.wishes.two) {
      if (w.what == what) return w.value.value;
    }
    return std::nullopt;
  };
  for (const bool is_left : {true, false}) {
    const Side& side = is_left ? left : right;
    const Side& plan = facts_.plan[is_left ? 0 : 1];
    const double clear = side.at().clearance.value;
    if (const auto wish = wished(layout::Wish::clearance); wish && clear < *wish - 0.05) {
      way.broken.push_back(base::say("{} blade: {:.1f} mm of air to the tyre, you wished for {:.1f} mm.",
                                     is_left ? "Left" : "Right", clear, *wish));
    }
    if (clear < 0)
      way.broken.push_back(
          base::say("The tyre stands {:.1f} mm in the {} blade.", -clear, side_name(is_left)));
    if (const study::Mitre* top = mitre_at(side, bike::End::end)) {
      double low = INFINITY, high = -INFINITY;
      for (const study::EdgePoint& q : top->outer)
        low = std::min(low, q.point.z()), high = std::max(high, q.point.z());
      double before = -INFINITY;
      for (const study::EdgePoint& q : mitre_at(plan, bike::End::end)->outer)
        before = std::max(before, q.point.z());
      if (high > 0)
        way.broken.push_back(base::say("The {} blade's joint runs {:.1f} mm above the crown race seat.",
                                       side_name(is_left), high));
      else if (high > -job::kLeastSeatGap && before <= -job::kLeastSeatGap)
        way.broken.push_back(
            base::say("Only {:.1f} mm of bare steerer stay below the seat over the {} blade's joint.", -high,
                      side_name(is_left)));
      const double end = -side.intent.steerer.below_seat;
      if (low < end)
        way.broken.push_back(base::say("The {} blade's joint hangs {:.1f} mm below the steerer's lower end.",
                                       side_name(is_left), end - low));
    }
  }
  std::ranges::sort(way.broken);
  way.broken.erase(std::unique(way.broken.begin(), way.broken.end()), way.broken.end());
}

void Weigher::cost(Alternative& way) const {
  for (const Move& m : way.moves) way.cost += (m.rider ? kRiderWeight : 1) * m.used() * m.used();
  for (const Piece& p : way.pieces) {
    way.scrapped += p.fate == Fate::scrap, way.cut_again += p.fate == Fate::cut_again;
    way.cost += p.fate == Fate::cut_again ? kCutAgain : p.fate == Fate::file ? kFileIt : 0;
  }
}

Alternative Weigher::weigh(Side left, Side right) const {
  Alternative way;
  moves(left, right, way);
  broken(left, right, way);
  const auto apart = [](const Side& l, const Side& r) { return l.at().crown_height - r.at().crown_height; };
  if (!layout::crown_line(left.intent.crown))
    way.joints_apart = std::abs(apart(left, right) - apart(facts_.plan[0], facts_.plan[1]));
  way.pieces = {piece_of(facts_, left, true), piece_of(facts_, right, false)};
  state(job_, facts_, left, right, way);
  cost(way);
  way.fork = joined(left.fork, right.fork);
  way.left = std::move(left.intent), way.right = std::move(right.intent);
  return way;
}

Alternative Weigher::as_cut(const Side& left, const Side& right, const Stands& stands) const {
  Alternative way;
  way.stands = stands;
  const bool straight = job_.steering.axle_to_crown_is == job::AxleToCrown::straight;
  const auto& u = left.intent;
  const double plan = std::hypot(u.drop, u.offset);
  const double along = std::sqrt(stands.axle_to_crown * stands.axle_to_crown - stands.offset * stands.offset);
  way.moves = {{"axle_to_crown", "axle-to-crown", straight ? plan : u.drop,
                straight ? stands.axle_to_crown : along, facts_.free.axle_to_crown.value, false, true},
               {"offset", "offset", u.offset, stands.offset, facts_.free.offset.value, false, true},
               {"centring", "wheel beside the middle at the tyre's top (− is right)", 0, stands.centring,
                job_.limits.centring.value, false, true},
               {"height", "left lower end above the right one", 0, stands.height, job_.limits.height.value,
                false, true}};
  for (const bool is_left : {true, false}) {
    const std::size_t i = is_left ? 0 : 1;
    Piece p = piece_of(facts_, is_left ? left : right, is_left);
    if (facts_.cut[i]) {
      p.fate = Fate::kept, p.why = "It stays as it is.";
      p.length = facts_.cut[i]->length, p.lower_trim = facts_.held[i]->at().lower_trim,
      p.top = facts_.held[i]->at().s_top;
    }
    way.pieces.push_back(std::move(p));
  }
  if (!facts_.done.as_cut) way.set.push_back({"done.as_cut", "\"yes\""});
  cost(way);
  way.fork = joined(left.fork, right.fork);
  way.left = left.intent, way.right = right.intent;
  return way;
}

}  // namespace halfround::replan
