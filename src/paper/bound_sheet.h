// Pages of one sheet that are filled from the top down. Frame P, mm.
#pragma once

#include <string>
#include <utility>

#include "paper/page_furniture.h"
#include "paper/text_block.h"
#include "paper/tile.h"

namespace halfround::paper {

/// Collects blocks; what doesn't fit goes on a new page.
class BoundSheet {
 public:
  BoundSheet(Paper paper, std::string stem, std::string name);

  [[nodiscard]] const Box& box() const { return box_; }
  [[nodiscard]] double y() const { return y_; }
  void turn();            ///< a new page
  void skip(double gap);  ///< mm
  /// A new page where less than this is left, mm.
  void need(double height);
  void put(const std::string& name, const std::string& label, Block block);
  void put(Group group);
  /// Furnished and numbered.
  ///   in  scale  of all pages
  [[nodiscard]] Sheet finished(const TitleBlock& title, const std::string& scale = "not to scale") &&;

 private:
  Vec2 size_;
  Box box_;
  double y_ = 0;
  std::string name_;
  Sheet sheet_;
};

/// A box to tick, its upper left corner at `at`.
[[nodiscard]] Path tick_box(const Vec2& at, double size = 4);

}  // namespace halfround::paper
