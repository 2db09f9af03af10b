// Which length on the rack serves which piece, what is left over and what has to be bought. Frame: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/adapter.h"
#include "shop/shop.h"

namespace halfround::shop {

/// Something to cut off a length.
struct Piece {
  std::string what;  ///< "steerer", "left insert", "spacer for the old fork bed"
  StockKind kind = StockKind::tube;
  double diameter = 0;  ///< outside, mm; bar may be thicker and is turned down; of a plate its width
  double wall = 0;      ///< of a tube, mm; 0: any; of a plate its thickness
  double length = 0;    ///< to saw off, mm
  double finished = 0;  ///< without, mm
  bike::Part part{};    ///< what it becomes; empty: an adapter
};

/// One piece and where it comes from.
struct Served {
  Piece piece;
  std::optional<std::size_t> stock;  ///< index into shop.stock; empty: buy it
  int nth = 0;                       ///< which of the lengths of that name, 0 first
  double from = 0;                   ///< where on the length it begins, mm
};

/// What stays on the rack of one length that was cut.
struct OffCut {
  std::size_t stock = 0;
  int nth = 0;
  double length = 0;  ///< mm
};

struct Buy {
  StockKind kind = StockKind::tube;
  double diameter = 0, wall = 0;  ///< mm
  double length = 0;              ///< of all its pieces together, mm
  std::vector<std::string> pieces;
};

struct CutList {
  std::vector<Served> pieces;
  std::vector<OffCut> off_cuts;
  std::vector<Buy> buy;
};

struct CutWishes {
  double kerf = 1.5;           ///< a saw takes, mm [common practice: 1 to 2]
  double facing = 1;           ///< left on each turned face, mm [common practice]
  double diameter_off = 0.15;  ///< a tube's diameter may differ from the one planned by this, mm [our own]
  double wall_off = 0.1;       ///< and its wall, mm [our own]
};

/// The steerer and the turned parts of an assembly with those the fixtures ask for. Blades are not cut from
/// the rack: their own stock lengths stand in the job.
[[nodiscard]] std::vector<Piece> pieces_of(const bike::Assembly& assembly,
                                           const std::vector<Adapter>& adapters,
                                           const CutWishes& wishes = {});

/// Longest pieces first, each from the shortest length left that serves it.
///   out  every piece once, in the order given; no length is cut beyond its end
[[nodiscard]] CutList cut_list(const std::vector<Piece>& pieces, const std::vector<Stock>& stock,
                               const CutWishes& wishes = {});

}  // namespace halfround::shop
