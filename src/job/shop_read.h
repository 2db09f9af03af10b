// A shop file's text becomes a shop::Shop, or every complaint about it at once. Frame: none. Keys:
// docs/shop-file.md.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "shop/shop.h"

namespace halfround::job {

struct ShopFile {
  shop::Shop shop;
  std::vector<std::string> assumed;  ///< keys the file leaves out and whose default was taken
};

/// Reads a shop.
///   in     text  any bytes
///          file  the name to say in complaints
///   out    every number finite and within the range of its row; scales have a unit that suits what they
///          measure and a range that is not turned round; cutters and files without a name are named by size
///   fails  all problems of the file together, in the order they stand there (docs/problems.md); a file that
///          can't be parsed has only the first
[[nodiscard]] base::Result<ShopFile, base::Problems> read_shop(std::string_view text,
                                                               const std::string& file);

}  // namespace halfround::job
