// What every card for the machine has in common: a frame with a head that says whose it is, and fields with a
// number that is read at arm's length. Cards of a left and a right part are set side by side, each other's
// mirror image. Frame P, mm.
#pragma once

#include <string>
#include <vector>

#include "bike/assembly.h"
#include "paper/draughting.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "shop/set_up.h"

namespace halfround::sheet {

struct CardHead {
  std::string verb;                      ///< "CUT"
  bike::Side hand = bike::Side::middle;  ///< whose part it is
  std::string title;                     ///< "blade, upper end, onto the steerer"
  int step = 0, of = 0;                  ///< its place in the order of work
};

inline constexpr double kCardAir = 3;  ///< from a card's frame to what it carries, mm

/// Frame, verb, place in the order of work, LEFT or RIGHT on the card's outer side, and the fork with that
/// part filled, seen from the rider's seat; the card says so.
///   in   mark  the end that is worked on, circled; nothing: the whole member
///   out  the box that is left below the head
[[nodiscard]] Box put_head(Group& group, const Box& card, const CardHead& head,
                           const bike::Assembly& assembly, const bike::Part& member = {},
                           const bike::End* mark = nullptr);

/// A number with what it is above it and, smaller, what else there is to know below it.
struct Reading {
  std::string caption;  ///< "swivel the vice to"
  std::string number;   ///< "7.2°"
  std::string note;     ///< ""
};

/// The number is as high as it can be up to `most`; caption and note are broken to the box's width.
///   out  y of its lower edge
[[nodiscard]] double put_reading(Group& group, const Box& box, const Reading& reading, double most);

/// A thin line over the box's width at y.
void put_rule(Group& group, const Box& box, double y);

/// The two halves of a page for a pair of cards; the two for wide ones, one above the other.
[[nodiscard]] std::vector<Box> beside(Paper paper);
[[nodiscard]] std::vector<Box> above(Paper paper);

}  // namespace halfround::sheet
