#include "serve/engine.h"

#include <algorithm>
#include <chrono>
#include <iterator>

#include "job/read.h"
#include "sheet/exchange.h"

namespace halfround::serve {

using base::Result;

namespace {

constexpr std::uint64_t kLightDraws = 2'000;  // chances to a few percent, in a tenth of the time
constexpr std::size_t kRemembered = 6;        // an answer with all its studies is some hundred kilobytes

/// Null where `laid_out` said that the rest is of no use.
std::shared_ptr<Worked> worked_out(const std::string& text, bool light,
                                   const std::shared_ptr<const shop::Shop>& shop,
                                   const Engine::LaidOut& laid_out) {
  const auto start = std::chrono::steady_clock::now();
  auto out = std::make_shared<Worked>();
  const auto stop_clock = [&] {
    out->milliseconds =
        std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
  };
  out->text = text, out->shop = shop, out->light = light;
  if (auto fields = job::fields_of(text, "job")) out->fields = std::move(*fields);
  auto read = job::read_job(text, "job");
  if (!read) {
    out->problems = std::move(read.error());
    return out;
  }
  out->job = std::move(*read);
  auto answer = job::laid_out(*out->job);
  if (!answer) {
    out->problems = {std::move(answer.error())};
    return out;
  }
  answer->revision = job::revision_of(text);
  out->answer = std::move(*answer);
  stop_clock();
  if (laid_out && !laid_out(*out)) return nullptr;
  // what more metal would bring stands on the check sheet only
  const job::SolveOptions how{
      .changes = !light, .draws = light ? kLightDraws : job::SolveOptions{}.draws, .shop = shop.get()};
  if (const auto added = job::add_studies(*out->job, how, *out->answer); !added) {
    out->answer.reset();
    out->problems = {added.error()};
  }
  stop_clock();
  return out;
}

}  // namespace

void Engine::set_shop(shop::Shop shop) {
  auto made = std::make_shared<const shop::Shop>(std::move(shop));
  const std::lock_guard lock(memory_);
  shop_ = std::move(made);
  remembered_.clear();
}

std::shared_ptr<const Worked> Engine::work(const std::string& text, bool light, const LaidOut& laid_out) {
  std::shared_ptr<const shop::Shop> shop;
  {
    const std::lock_guard lock(memory_);
    shop = shop_;
    for (auto at = remembered_.begin(); at != remembered_.end(); ++at) {
      if ((*at)->text != text || ((*at)->light && !light)) continue;
      remembered_.splice(remembered_.begin(), remembered_, at);
      return remembered_.front();
    }
  }
  std::shared_ptr<const Worked> out = worked_out(text, light, shop, laid_out);
  if (!out) return out;
  const std::lock_guard lock(memory_);
  if (shop != shop_) return out;  // another shop meanwhile: it is of no use to anybody else
  std::erase_if(remembered_, [&](const auto& w) { return w->text == text && w->light; });
  remembered_.push_front(out);
  if (remembered_.size() > kRemembered) remembered_.pop_back();
  return out;
}

job::ShopPlan Engine::plan(const Worked& worked) {
  return job::shop_plan(*worked.job, *worked.answer, *worked.shop);
}

Result<Engine::Book> Engine::book(const Worked& worked) {
  {
    const std::lock_guard lock(memory_);
    if (book_ && book_text_ == worked.text && book_shop_ == worked.shop) return book_;
  }
  const job::ShopPlan made = plan(worked);
  auto files = sheet::make_book(*worked.job, *worked.answer, &made);
  if (!files) return tl::unexpected(files.error());
  std::ranges::move(sheet::exchange_files(*worked.job, *worked.answer, &made, worked.shop->rotary),
                    std::back_inserter(*files));
  auto out = std::make_shared<const std::vector<sheet::File>>(std::move(*files));
  const std::lock_guard lock(memory_);
  book_ = out, book_text_ = worked.text, book_shop_ = worked.shop;
  return out;
}

Result<std::string> Engine::glb(const Worked& worked) {
  const std::lock_guard lock(solids_);
  const bike::Assembly& fork = worked.answer->fork.assembly;
  const auto parts = solid::solids(fork, worked.answer->mitres, shelf_);
  if (!parts) return tl::unexpected(parts.error());
  return solid::to_glb(*parts, fork.frame);
}

}  // namespace halfround::serve
