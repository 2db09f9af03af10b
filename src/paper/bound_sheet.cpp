#include "paper/bound_sheet.h"

namespace halfround::paper {

BoundSheet::BoundSheet(Paper paper, std::string stem, std::string name)
    : size_(size_of(paper)), box_(content_box(size_.x(), size_.y())), name_(std::move(name)) {
  box_.min += Vec2(1, 1), box_.max -= Vec2(1, 1);
  sheet_.stem = std::move(stem) + (paper == Paper::a4 ? "-a4" : "-letter");
}

void BoundSheet::turn() {
  sheet_.pages.push_back({.width = size_.x(), .height = size_.y(), .name = name_, .groups = {}});
  y_ = box_.max.y();
}

void BoundSheet::skip(double gap) {
  y_ -= gap;
}

void BoundSheet::need(double height) {
  if (sheet_.pages.empty() || y_ - height < box_.min.y()) turn();
}

void BoundSheet::put(const std::string& name, const std::string& label, Block block) {
  y_ = block.bottom;
  put({.name = name, .label = label, .items = std::move(block.items), .clip = {}});
}

void BoundSheet::put(Group group) {
  if (sheet_.pages.empty()) turn();
  sheet_.pages.back().groups.push_back(std::move(group));
}

Sheet BoundSheet::finished(const TitleBlock& title, const std::string& scale) && {
  sheet_.title = title.job + ", " + name_;
  int number = 0;
  for (Page& p : sheet_.pages) {
    TitleBlock block = title;
    if (block.sheet.empty()) block.sheet = name_;
    block.scale = scale;
    block.number = ++number, block.of = static_cast<int>(sheet_.pages.size());
    furnish(p, block);
  }
  return std::move(sheet_);
}

Path tick_box(const Vec2& at, double size) {
  return rectangle({at - Vec2(0, size), at + Vec2(size, 0)}, {Weight::medium});
}

}  // namespace halfround::paper
