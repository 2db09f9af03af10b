#include "sheet/cards.h"

#include <algorithm>
#include <functional>

#include "paper/clip.h"
#include "sheet/cards_parts.h"

namespace halfround::sheet {
namespace {

/// Pages of cards; a wide card waits for a second one.
class Pages {
 public:
  Pages(Paper paper) : paper_(paper), size_(size_of(paper)) {}

  void pair(const std::string& name, const auto& left, const auto& right) {
    turn(name);
    const std::vector<Box> boxes = beside(paper_);
    if (left) put(left(boxes[0]));
    if (right) put(right(boxes[1]));
  }
  void wide(const std::string& name, const auto& card) {
    if (!half_) turn(name);
    put(card(above(paper_)[half_ ? 1 : 0]));
    if (half_) pages_.back().name += ", " + name;
    half_ = !half_;
  }
  /// Half a page where that holds it, else a whole one.
  void as_wide_as_needed(const std::string& name, const auto& card) {
    const Box half = above(paper_)[0];
    const auto ink = bounds_of(card(half).items);
    if (ink && ink->min.y() < half.min.y() - 0.1) {
      whole(name, card);
    } else {
      wide(name, card);
    }
  }
  void whole(const std::string& name, const auto& card) {
    turn(name);
    const std::vector<Box> two = above(paper_);
    put(card(Box{two[1].min, two[0].max}));
  }
  [[nodiscard]] std::vector<Page> finished() && { return std::move(pages_); }

 private:
  void turn(const std::string& name) {
    half_ = false;
    pages_.push_back({.width = size_.x(), .height = size_.y(), .name = name, .groups = {}});
  }
  void put(Group g) { pages_.back().groups.push_back(std::move(g)); }

  Paper paper_;
  Vec2 size_;
  std::vector<Page> pages_;
  bool half_ = false;  // a wide card stands in the upper half
};

using Draw = std::function<Group(const Box&)>;

/// The set-up of the other side at the same end.
const shop::MachineSetUp* pair_of(const solve::ShopPlan& plan, const shop::MachineSetUp& s) {
  const auto it = std::ranges::find_if(
      plan.set_ups, [&](const shop::MachineSetUp& t) { return t.member == s.pair && t.end == s.end; });
  return it == plan.set_ups.end() ? nullptr : &*it;
}

bool by_machine(const shop::MachineSetUp* s) {
  return s && !s->cutters.empty() && s->cutters.front().serves;
}

void put_ends(Pages& pages, const CardTable& t) {
  for (const shop::MachineSetUp& s : t.plan.set_ups) {
    const shop::MachineSetUp* other = pair_of(t.plan, s);
    if (s.member.side == bike::Side::right && other) continue;  // its page is the left one's
    const bool right = s.member.side == bike::Side::right;
    const shop::MachineSetUp *l = right ? nullptr : &s, *r = right ? &s : other;
    const auto to_do = [&](const shop::MachineSetUp* e) { return e && !is_cut(t.job, e->member, e->end); };
    const auto cut = [&](const shop::MachineSetUp* e) -> Draw {
      if (!by_machine(e) || !to_do(e)) return {};
      return [&t, e](const Box& box) { return cut_card(t, *e, box); };
    };
    const auto hand = [&](const shop::MachineSetUp* e, auto draw) -> Draw {
      const shop::HandPlan* h = to_do(e) ? solve::by_hand(t.plan, *e) : nullptr;
      if (!h) return {};
      return [&t, e, h, draw](const Box& box) { return draw(t, *e, *h, box); };
    };
    if ((by_machine(l) && to_do(l)) || (by_machine(r) && to_do(r))) pages.pair("cut cards", cut(l), cut(r));
    if ((to_do(l) && l->by_hand) || (to_do(r) && r->by_hand)) {
      pages.pair("file cards", hand(l, file_card), hand(r, file_card));
      pages.pair("depth cards", hand(l, depth_card), hand(r, depth_card));
    }
  }
}

/// Slots of the left blade beside those of the right one.
void put_slots(Pages& pages, const CardTable& t) {
  const auto card = [&](bike::Side side) -> Draw {
    const bike::Part blade = bike::part(bike::PartKind::blade, side);
    for (const bike::Joint& j : t.answer.fork.assembly.joints)
      if (j.kind == bike::JointKind::slotted && j.member == blade && !is_cut(t.job, j.member, j.end))
        return [&t, &j](const Box& box) { return slot_card(t, j, box); };
    return {};
  };
  const Draw left = card(bike::Side::left), right = card(bike::Side::right);
  if (left || right) pages.pair("slot cards", left, right);
}

void put_joints(Pages& pages, const CardTable& t) {
  const auto has = [&](const bike::Part& member) {
    return std::ranges::any_of(t.answer.joining.joints, [&](const study::JointFill& j) {
      return j.gap.empty() && j.member == member;
    });
  };
  const auto card = [&](const bike::Part& member) -> Draw {
    if (!has(member)) return {};
    return [&t, member](const Box& box) { return join_card(t, member, box); };
  };
  for (const bike::PartKind kind : {bike::PartKind::crown_tube, bike::PartKind::blade}) {
    const bike::Part left = bike::part(kind, bike::Side::left), right = bike::part(kind, bike::Side::right);
    if (has(left) || has(right)) pages.pair("join cards", card(left), card(right));
  }
  const bool gaps =
      std::ranges::any_of(t.answer.joining.joints, [](const study::JointFill& j) { return !j.gap.empty(); });
  if (gaps) pages.as_wide_as_needed("gap card", [&](const Box& box) { return gap_card(t, box); });
}

/// As many of the small parts as a card holds, three at most, card after card.
std::vector<std::vector<std::size_t>> dealt(const CardTable& t, bike::Side hand, bool before,
                                            const Box& box) {
  constexpr std::size_t kMost = 3;
  const std::vector<std::size_t> all = features_of(t, hand, before);
  std::vector<std::vector<std::size_t>> out;
  for (std::size_t from = 0; from < all.size(); from += out.back().size()) {
    const auto first = all.begin() + static_cast<std::ptrdiff_t>(from);
    for (std::size_t n = std::min(kMost, all.size() - from); n > 0; --n) {
      std::vector<std::size_t> some(first, first + static_cast<std::ptrdiff_t>(n));
      const auto ink = bounds_of(feature_card(t, hand, some, before, box).items);
      if (n > 1 && ink && ink->min.y() < box.min.y() - 0.1) continue;
      out.push_back(std::move(some));
      break;
    }
  }
  return out;
}

/// Small parts of the left side beside those of the right one.
void put_features(Pages& pages, const CardTable& t, bool before, Paper paper) {
  const std::vector<Box> boxes = beside(paper);
  const auto left = dealt(t, bike::Side::left, before, boxes[0]),
             right = dealt(t, bike::Side::right, before, boxes[1]);
  const auto card = [&](bike::Side hand, const auto& cards, std::size_t i) -> Draw {
    if (i >= cards.size()) return {};
    return [&t, hand, before, some = cards[i]](const Box& box) {
      return feature_card(t, hand, some, before, box);
    };
  };
  for (std::size_t i = 0; i < std::max(left.size(), right.size()); ++i)
    pages.pair("small parts cards", card(bike::Side::left, left, i), card(bike::Side::right, right, i));
}

}  // namespace

Sheet shop_cards(const job::Job& job, const solve::Answer& answer, const solve::ShopPlan& plan, Paper paper,
                 const TitleBlock& title) {
  const CardTable t{job, answer, plan, order_of_work(job, answer, plan)};
  Pages pages(paper);
  put_features(pages, t, true, paper);
  put_ends(pages, t);
  put_slots(pages, t);
  if (!plan.lengths.empty()) pages.wide("length card", [&](const Box& box) { return length_card(t, box); });
  for (const shop::FixtureSheet& f : plan.fixtures)
    pages.as_wide_as_needed("fixture card", [&](const Box& box) { return fixture_card(t, f, box); });
  put_joints(pages, t);
  pages.whole("care card", [&](const Box& box) { return care_card(t, box); });
  put_features(pages, t, false, paper);
  if (answer.mount) pages.whole("mount card", [&](const Box& box) { return mount_card(t, box); });
  if (answer.mount && answer.mount->known)
    pages.wide("mount foot card", [&](const Box& box) { return mount_foot_card(t, box); });
  pages.whole("prove card", [&](const Box& box) { return prove_card(t, box); });
  Sheet sheet{.stem = paper == Paper::a4 ? "cards-a4" : "cards-letter",
              .title = title.job + ", cards for the machines",
              .pages = std::move(pages).finished()};
  int number = 0;
  for (Page& p : sheet.pages) {
    TitleBlock block = title;
    if (block.sheet.empty()) block.sheet = "cards";
    block.scale = "not to scale";
    block.number = ++number, block.of = static_cast<int>(sheet.pages.size());
    furnish(p, block);
  }
  return sheet;
}

}  // namespace halfround::sheet
