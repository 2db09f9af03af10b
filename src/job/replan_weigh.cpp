#include "job/replan_weigh.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"

namespace halfround::job {

namespace {

constexpr double kSame = 1e-6;      // mm or rad: no change worth a word
constexpr double kRiderWeight = 4;  // against what only the builder sees
constexpr double kCutAgain = 0.1,
                 kFileIt = 0.05;  // of a freedom squared: a quarter of an hour [our own figures]

std::string typed(double v) {
  return base::shortest(std::round(v * 1e7) / 1e7);
}

constexpr double kBrazedTurn =
    0.1 * base::kPi / 180;      // rad, 0.2 mm in 100 mm across the axle [our own figure]
constexpr double kAlike = 0.1;  // of a freedom: ways that differ by less are told once

const char* side_name(bool left) {
  return left ? "left" : "right";
}

/// The mitre of one end; null where that end is not mitred.
const study::Mitre* mitre_at(const Side& side, bike::End end) {
  for (const study::Mitre& m : side.mitres) {
    if (m.end == end) return &m;
  }
  return nullptr;
}

/// A finished end whose mitre should be another by `change`.
void judge_mitres(Piece& p, double change) {
  if (change <= kSeats) {
    p.fate = Fate::kept;
    p.why = change < 0.005 ? "It serves as it is."
                           : fmt::format("It serves as it is; its mitre gapes by {:.2f} mm at most.", change);
  } else if (change <= kFiles) {
    p.fate = Fate::file;
    p.why = fmt::format(
        "It serves, but its mitre gapes by {:.2f} mm until it is filed; measure its length again then.",
        change);
  } else {
    p.fate = Fate::scrap;
    p.why = fmt::format("Its mitre would gape by {:.1f} mm: it no longer fits.", change);
  }
}

}  // namespace

double Move::used() const {
  const double by = only_less ? std::max(0.0, was - is) : std::abs(difference());
  if (by < kSame) return 0;
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
      if (!part.name.ends_with(".right")) continue;
      for (const auto& other : from) {
        if (other.name == part.name) part = other;
      }
    }
  };
  put(out.assembly.members, right.assembly.members);
  put(out.assembly.plates, right.assembly.plates);
  return out;
}

Weigher::Weigher(const Job& job, const Side (&plan)[2], const std::optional<AsCut> (&cut)[2],
                 const std::optional<Side> (&held)[2])
    : job_(job),
      done_(job.done.value_or(Done{})),
      free_(job.freedoms.value_or(Freedoms{})),
      plan_(plan),
      cut_(cut),
      held_(held) {}

const DoneBlade& Weigher::blade(bool left) const {
  return left ? done_.left : done_.right;
}

Piece Weigher::piece(const Side& now, bool left) const {
  const std::size_t i = left ? 0 : 1;
  const Side& plan = plan_[i];
  Piece p;
  p.member = fmt::format("blade.{}", side_name(left));
  p.length_was = plan.length, p.length = now.length;
  p.lower_trim_was = plan.at().lower_trim, p.lower_trim = now.at().lower_trim;
  p.top_was = plan.at().s_top, p.top = now.at().s_top;
  const CutChange low_cut = cut_change(plan, now, bike::End::start);
  const CutChange high_cut = cut_change(plan, now, bike::End::end);
  p.lower_change = low_cut.depth, p.lower_gap = low_cut.gap;
  p.upper_change = high_cut.depth, p.upper_gap = high_cut.gap;
  const DoneBlade& b = blade(left);
  if (!cut_[i] && !b.lower_trim) {
    p.why = std::abs(p.length - p.length_was) < 0.005 && std::max(p.lower_change, p.upper_change) < 0.005
                ? "Not cut yet; the plan's numbers stay."
                : "Not cut yet: use the new numbers.";
    return p;
  }
  // steel that is gone: below the lower cut, above the upper one
  const double trim = cut_[i] ? held_[i]->at().lower_trim : b.lower_trim->value;
  const double top = cut_[i] ? held_[i]->at().s_top : INFINITY;
  const double missing = std::max(trim - p.lower_trim, p.top - top), kSlack = 0.3;
  const bool same =
      cut_[i] ? std::abs(p.length - cut_[i]->length) < kSame && std::abs(trim - p.lower_trim) < kSlack
              : std::abs(trim - p.lower_trim) < kSame;
  const double turned = now.at().splay - plan.at().splay;
  if (b.joined && std::abs(turned) > kBrazedTurn) {
    p.fate = Fate::scrap;
    p.why = fmt::format("Its lower end is brazed on; in this way the axle's seat would lean by {:.2f}°.",
                        base::to_deg(std::abs(turned)));
    return p;
  }
  if (same) {
    const double lower = b.joined ? 0 : p.lower_gap;
    judge_mitres(p, cut_[i] ? std::max(lower, p.upper_gap) : lower);
    if (!cut_[i] && p.fate != Fate::scrap) p.why += " The upper end is still to cut.";
  } else if (missing > kSame) {
    p.fate = Fate::scrap;
    p.why = fmt::format("It is cut {:.1f} mm too short for this.", missing);
  } else if (b.joined && std::abs(p.lower_trim - trim) > kSame) {
    p.fate = Fate::scrap;
    p.why = "Its lower end is brazed on and would have to be cut again.";
  } else {
    p.fate = Fate::cut_again;
    const double low = p.lower_trim - trim, high = top - p.top;
    p.why = "It is finished and has to be cut again:";
    if (low > 0.005) p.why += fmt::format(" {:.1f} mm more off the lower end", low);
    if (cut_[i] && high > 0.005)
      p.why += fmt::format("{} {:.1f} mm more off the upper end", low > 0.005 ? " and" : "", high);
    p.why += low > 0.005 || high > 0.005 ? "." : " its mitres turn.";
  }
  return p;
}

void Weigher::moves(const Side& left, const Side& right, Alternative& way) const {
  const Steering& s = job_.steering;
  const bool straight = s.axle_to_crown_is == AxleToCrown::straight;
  const auto length = [&](const layout::Unicrown& u) {
    return straight ? std::hypot(u.drop, u.offset) : u.drop;
  };
  way.moves.push_back({"axle_to_crown", "axle-to-crown", length(plan_[0].intent), length(left.intent),
                       free_.axle_to_crown.value, false, true});
  way.moves.push_back(
      {"offset", "offset", plan_[0].intent.offset, left.intent.offset, free_.offset.value, false, true});
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
    return Row{key, what, {f(plan_[0]), f(plan_[1])}, {l, r}, freedom, angle, less};
  };
  const Row rows[] = {
      row(
          "crown_height", "crown height", [](const Side& q) { return q.at().crown_height; },
          free_.crown_height.value, false, false),
      row(
          "splay", "splay", [](const Side& q) { return q.at().splay; }, free_.splay.value, true, false),
      row(
          "blade_from_hub", "blade's distance from the hub",
          [](const Side& q) { return q.intent.lower_end.blade_from_hub; }, free_.blade_from_hub.value, false,
          false),
      row(
          "clearance", "tyre clearance", [](const Side& q) { return q.at().clearance.value; },
          free_.clearance.value, false, true),
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
  const auto wished = [&](Wish what) -> std::optional<double> {
    for (const Wished& w : job_.wishes.two) {
      if (w.what == what) return w.value.value;
    }
    return std::nullopt;
  };
  for (const bool is_left : {true, false}) {
    const Side& side = is_left ? left : right;
    const Side& plan = plan_[is_left ? 0 : 1];
    const double clear = side.at().clearance.value;
    if (const auto wish = wished(Wish::clearance); wish && clear < *wish - 0.05) {
      way.broken.push_back(fmt::format("{} blade: {:.1f} mm of air to the tyre, you wished for {:.1f} mm.",
                                       is_left ? "Left" : "Right", clear, *wish));
    }
    if (clear < 0)
      way.broken.push_back(
          fmt::format("The tyre stands {:.1f} mm in the {} blade.", -clear, side_name(is_left)));
    if (const study::Mitre* top = mitre_at(side, bike::End::end)) {
      double low = INFINITY, high = -INFINITY;
      for (const study::EdgePoint& q : top->outer)
        low = std::min(low, q.point.z()), high = std::max(high, q.point.z());
      double before = -INFINITY;
      for (const study::EdgePoint& q : mitre_at(plan, bike::End::end)->outer)
        before = std::max(before, q.point.z());
      if (high > 0)
        way.broken.push_back(fmt::format("The {} blade's joint runs {:.1f} mm above the crown race seat.",
                                         side_name(is_left), high));
      else if (high > -3 && before <= -3)
        way.broken.push_back(
            fmt::format("Only {:.1f} mm of bare steerer stay below the seat over the {} blade's joint.",
                        -high, side_name(is_left)));
      const double end = -side.intent.steerer.below_seat;
      if (low < end)
        way.broken.push_back(
            fmt::format("The {} blade's joint hangs {:.1f} mm below the steerer's lower end.",
                        side_name(is_left), end - low));
    }
  }
  std::ranges::sort(way.broken);
  way.broken.erase(std::unique(way.broken.begin(), way.broken.end()), way.broken.end());
}

void Weigher::settings(const Side& left, const Side& right, Alternative& way) const {
  const auto set = [&](const char* key, double is, double was) {
    if (std::abs(is - was) > kSame) way.set.push_back({key, typed(is)});
  };
  const layout::Unicrown &now = left.intent, &was = plan_[0].intent;
  set("steering.offset", now.offset, was.offset);
  set("steering.axle_to_crown", way.moves[0].is, way.moves[0].was);
  set("steerer.length", now.steerer.length, was.steerer.length);
  set("steerer.below_seat", now.steerer.below_seat, was.steerer.below_seat);
  set("lower_end.blade_from_hub", now.lower_end.blade_from_hub, was.lower_end.blade_from_hub);
  set("lower_end.diameter", now.lower_end.diameter, was.lower_end.diameter);
  set("lower_end.length", now.lower_end.length, was.lower_end.length);
  set("lower_end.bore", now.lower_end.bore, was.lower_end.bore);
  const bool alike = !job_.right && std::abs(left.at().lower_trim - right.at().lower_trim) < kSame;
  if (!way.unchanged() || std::abs(left.at().lower_trim - plan_[0].at().lower_trim) > kSame) {
    // the two that name the blades' place without a search; unlike blades share their place, not their trim
    way.set.push_back({"wishes.splay", typed(base::to_deg(left.at().splay))});
    way.set.push_back(alike ? Setting{"wishes.lower_trim", typed(left.at().lower_trim)}
                            : Setting{"wishes.crown_height", typed(left.at().crown_height)});
    for (const char* key : {"wishes.clearance", "wishes.crown_height", "wishes.top_angle", "wishes.splay",
                            "wishes.lower_trim"}) {
      const bool stays = std::ranges::any_of(way.set, [&](const Setting& s) { return s.key == key; });
      if (!stays && job_.lines.contains(key)) way.drop.emplace_back(key);
    }
  }
  // a shortfall is told against the plan, and the plan has changed: from now on the length itself is told
  for (const Piece& p : way.pieces) {
    const std::string side = p.member.substr(p.member.find('.') + 1);
    for (const std::string& at : {"done.blades." + side, std::string("done.blades")}) {
      if (!job_.lines.contains(at + ".short_by")) continue;
      if (std::ranges::find(way.drop, at + ".short_by") == way.drop.end())
        way.drop.push_back(at + ".short_by");
      if (p.fate == Fate::kept || p.fate == Fate::file) {
        const bool told =
            std::ranges::any_of(way.set, [&](const Setting& s) { return s.key == at + ".length"; });
        if (!told) way.set.push_back({at + ".length", typed(p.length)});
      }
      break;
    }
  }
}

void Weigher::cost(Alternative& way) const {
  for (const Move& m : way.moves) way.cost += (m.rider ? kRiderWeight : 1) * m.used() * m.used();
  for (const Piece& p : way.pieces) {
    way.scrapped += p.fate == Fate::scrap, way.cut_again += p.fate == Fate::cut_again;
    way.cost += p.fate == Fate::cut_again ? kCutAgain : p.fate == Fate::file ? kFileIt : 0;
  }
}

Alternative Weigher::weigh(Side left, Side right, bool two_sided) const {
  Alternative way;
  moves(left, right, way);
  broken(left, right, way);
  way.pieces = {piece(left, true), piece(right, false)};
  const bool inserts_alike = left.intent.lower_end.diameter == right.intent.lower_end.diameter &&
                             left.intent.lower_end.length == right.intent.lower_end.length &&
                             left.intent.lower_end.bore == right.intent.lower_end.bore;
  if (!two_sided && inserts_alike) settings(left, right, way);
  cost(way);
  way.fork = joined(left.fork, right.fork);
  way.left = std::move(left.intent), way.right = std::move(right.intent);
  return way;
}

Alternative Weigher::as_cut(const Side& left, const Side& right, const Stands& stands) const {
  Alternative way;
  way.stands = stands;
  const bool straight = job_.steering.axle_to_crown_is == AxleToCrown::straight;
  const auto& u = left.intent;
  const double plan = std::hypot(u.drop, u.offset);
  const double along = std::sqrt(stands.axle_to_crown * stands.axle_to_crown - stands.offset * stands.offset);
  way.moves = {{"axle_to_crown", "axle-to-crown", straight ? plan : u.drop,
                straight ? stands.axle_to_crown : along, free_.axle_to_crown.value, false, true},
               {"offset", "offset", u.offset, stands.offset, free_.offset.value, false, true},
               {"centring", "wheel beside the middle at the tyre's top (− is right)", 0, stands.centring,
                job_.limits.centring.value, false, true},
               {"height", "left lower end above the right one", 0, stands.height, job_.limits.height.value,
                false, true}};
  for (const bool is_left : {true, false}) {
    const std::size_t i = is_left ? 0 : 1;
    Piece p = piece(is_left ? left : right, is_left);
    if (cut_[i]) {
      p.fate = Fate::kept, p.why = "It stays as it is.";
      p.length = cut_[i]->length, p.lower_trim = held_[i]->at().lower_trim, p.top = held_[i]->at().s_top;
    }
    way.pieces.push_back(std::move(p));
  }
  cost(way);
  way.fork = joined(left.fork, right.fork);
  way.left = left.intent, way.right = right.intent;
  return way;
}

void Weigher::rank(std::vector<Alternative> ways, Replan& out) const {
  const auto worst = [](const Alternative& a) {
    double most = 0;
    for (const Move& m : a.moves) most = std::max(most, m.used());
    return most;
  };
  const auto same = [&](const Alternative& a, const Alternative& b) {
    if (a.stands.has_value() != b.stands.has_value()) return false;
    for (std::size_t i = 0; i < a.pieces.size(); ++i) {
      if (a.pieces[i].fate != b.pieces[i].fate) return false;
    }
    const auto near = [](double x, double y, const Quantity& freedom) {
      return std::abs(x - y) <= kAlike * freedom.value + kSame;
    };
    const auto sides = [&](const layout::Placed& p, const layout::Placed& q, const layout::Unicrown& u,
                           const layout::Unicrown& v) {
      return near(p.splay, q.splay, free_.splay) &&
             near(p.crown_height, q.crown_height, free_.crown_height) &&
             near(u.lower_end.blade_from_hub, v.lower_end.blade_from_hub, free_.blade_from_hub) &&
             near(u.drop, v.drop, free_.axle_to_crown) && near(u.offset, v.offset, free_.offset);
    };
    return sides(a.fork.left, b.fork.left, a.left, b.left) &&
           sides(a.fork.right, b.fork.right, a.right, b.right);
  };
  std::ranges::stable_sort(ways, [](const Alternative& a, const Alternative& b) {
    return a.scrapped != b.scrapped ? a.scrapped < b.scrapped : a.cost < b.cost;
  });
  for (Alternative& way : ways) {
    auto& into = way.allowed() ? out.ways : out.outside;
    if (std::ranges::none_of(into, [&](const Alternative& a) { return same(a, way); }))
      into.push_back(std::move(way));
  }
  std::ranges::stable_sort(out.outside, [&](const Alternative& a, const Alternative& b) {
    return a.scrapped != b.scrapped ? a.scrapped < b.scrapped : worst(a) < worst(b);
  });
}

void Weigher::notes(Replan& out) const {
  for (const bool left : {true, false}) {
    const std::size_t i = left ? 0 : 1;
    if (!cut_[i] && blade(left).lower_trim)
      out.notes.push_back(
          fmt::format("The {} blade's lower end is trimmed by {:.2f} mm, planned were {:.2f} mm.",
                      side_name(left), blade(left).lower_trim->value, plan_[i].at().lower_trim));
    if (!cut_[i]) continue;
    const double off = cut_[i]->length - plan_[i].length;
    const layout::Placed& p = held_[i]->at();
    if (std::abs(off) < kSame) {
      out.notes.push_back(
          fmt::format("The {} blade is cut as planned, {:.2f} mm.", side_name(left), plan_[i].length));
      continue;
    }
    const double tube =
        cut_[i]->at_lower ? p.lower_trim - plan_[i].at().lower_trim : plan_[i].at().s_top - p.s_top;
    out.notes.push_back(
        fmt::format("The {} blade measures {:.2f} mm between its cuts, {:.2f} mm {} than planned; along the "
                    "tube that is {:.2f} mm at the "
                    "{} end.",
                    side_name(left), cut_[i]->length, std::abs(off), off < 0 ? "less" : "more",
                    std::abs(tube), cut_[i]->at_lower ? "lower" : "upper"));
    const std::string key = fmt::format("done.blades.{}.short_at", side_name(left));
    if (!cut_[i]->at_lower && !blade(left).lower_trim && !job_.lines.contains(key) &&
        !job_.lines.contains("done.blades.short_at"))
      out.notes.push_back(fmt::format(
          "The upper cut is taken as the one that is off. If it was the lower one, say {} = \"lower end\".",
          key));
  }
  const auto said = [&](const char* what, const std::optional<Quantity>& is, double was) {
    if (is && std::abs(is->value - was) > kSame)
      out.notes.push_back(fmt::format("The {} is {:.1f} mm, planned were {:.1f} mm.", what, is->value, was));
  };
  said("steerer's length", done_.steerer_length, job_.steerer.length.value);
  said("crown race seat's height", done_.below_seat, job_.steerer.below_seat.value);
  said("offset as tacked", done_.offset, job_.steering.offset.value);
  said("axle-to-crown as tacked", done_.axle_to_crown, job_.steering.axle_to_crown.value);
  said("left insert's diameter", done_.left_insert.diameter, job_.lower_end.diameter.value);
  said("right insert's diameter", done_.right_insert.diameter, job_.lower_end.diameter.value);
  for (const auto* insert : {&done_.left_insert, &done_.right_insert}) {
    const double bore = insert->bore ? insert->bore->value : job_.lower_end.bore.value;
    if (insert->bore && bore < job_.hub.axle.value)
      out.notes.push_back(fmt::format(
          "A bore of {:.1f} mm doesn't take the axle of {:.1f} mm: bore it out before it is brazed.", bore,
          job_.hub.axle.value));
  }
}

}  // namespace halfround::job
