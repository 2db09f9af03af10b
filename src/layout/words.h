// The closed sets a fork is wished for in: shares of the offset, wishes, fork ends. Frame: none.
#pragma once

#include "base/words.h"

namespace halfround::layout {

/// The named shares that make up the offset; they add up to it exactly.
enum class Share { tilt, mitre_offset, rake, dropout_lead };
inline constexpr std::array<base::Word<Share>, 4> kShares{
    {{Share::tilt, "tilt", "blade tilt"},
     {Share::mitre_offset, "mitre_offset", "mitre offset"},
     {Share::rake, "rake", "blade rake"},
     {Share::dropout_lead, "dropout_lead", "dropout lead"}}};
static_assert(base::complete(kShares));

/// What the builder may wish for. Two are chosen; the two unknowns (splay, lower trim) follow.
enum class Wish { clearance, crown_height, top_angle, splay, lower_trim, upper_trim, spacing };
inline constexpr std::array<base::Word<Wish>, 7> kWishes{
    {{Wish::clearance, "clearance", "tyre clearance"},
     {Wish::crown_height, "crown_height", "crown height"},
     {Wish::top_angle, "top_angle", "top angle"},
     {Wish::splay, "splay", "splay"},
     {Wish::lower_trim, "lower_trim", "lower trim"},
     {Wish::upper_trim, "upper_trim", "upper trim"},
     {Wish::spacing, "spacing", "blade spacing"}}};
static_assert(base::complete(kWishes));

enum class LowerEndKind { insert, tab_dropout, hooded_dropout, axle_block };

/// What holds the axle: a closed bore, or a slot that opens downward.
enum class AxleHold { bore, slot };

/// What everybody but the layout itself asks of a kind of fork end.
struct LowerEndRow {
  LowerEndKind value;
  std::string_view key, words;
  std::string_view foot;  ///< what the blade meets, in a word: "dropout"
  AxleHold axle;
  bool barrel;  ///< a barrel across, onto which the blade is mitred
};
inline constexpr std::array<LowerEndRow, 4> kLowerEnds{
    {{LowerEndKind::insert, "insert", "insert", "insert", AxleHold::bore, true},
     {LowerEndKind::tab_dropout, "tab dropout", "tab dropout", "dropout", AxleHold::slot, false},
     {LowerEndKind::hooded_dropout, "hooded dropout", "hooded dropout", "dropout", AxleHold::slot, false},
     {LowerEndKind::axle_block, "axle block", "axle block", "block", AxleHold::bore, false}}};
static_assert(base::complete(kLowerEnds));
[[nodiscard]] constexpr const LowerEndRow& row_of(LowerEndKind kind) {
  return base::word_of(kLowerEnds, kind);
}

}  // namespace halfround::layout
