// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/solving.h"

#include <catch2/catch.hpp>

#include "tests/support/box_job.h"
#include "viewer/solver_worker.h"

using namespace hosefit;

namespace {

SettleRequest request_for(const std::shared_ptr<const Prepared>& prepared, double height_mm,
                          std::vector<LineSearch> earlier = {}) {
  SettleRequest request;
  request.number = 1;
  request.job = 1;
  request.prepared = prepared;
  request.height = Length::mm(height_mm);
  for (std::size_t pump = 0; pump < 2; ++pump)
    request.pumps.push_back({Candidate{pump, 0, 0, 0, 0, request.height}, earlier});
  return request;
}

std::vector<SolverMessage> settled(const SettleRequest& request, const SolverCalls& calls) {
  std::vector<SolverMessage> out;
  settle(request, calls, {}, [&](SolverMessage message) { out.push_back(std::move(message)); });
  return out;
}

std::vector<std::shared_ptr<const Answer>> answers(const std::vector<SolverMessage>& messages) {
  std::vector<std::shared_ptr<const Answer>> out;
  for (const SolverMessage& message : messages)
    if (const auto* judged = std::get_if<Judged>(&message)) out.push_back(judged->answer);
  return out;
}

CandidateResult result_of(const Candidate& candidate, Fit fit, bool lines_tried) {
  CandidateResult out;
  out.candidate = candidate;
  out.verdict.fit = fit;
  out.lines_tried = lines_tried;
  return out;
}

}  // namespace

TEST_CASE("the answers are those of decide") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const auto messages = settled(request_for(prepared, 300), real_solver());
  const Choice choice = decide(*prepared, Query{0, Length::mm(300), {}}, {}, {}, {});
  const auto found = answers(messages);
  REQUIRE(found.size() == 2);
  for (const auto& answer : found) {
    CHECK(answer->best_of_pump);
    for (const PumpAnswer& pump : choice.ranking)
      if (pump.pump == answer->question.candidate.pump)
        CHECK(choice.candidates[pump.best].verdict.fit == answer->result->verdict.fit);
  }
  const auto* ranked = std::get_if<Ranked>(&messages.back());
  REQUIRE(ranked != nullptr);
  REQUIRE(ranked->pumps.size() == choice.ranking.size());
  for (std::size_t i = 0; i < ranked->pumps.size(); ++i) CHECK(ranked->pumps[i] == choice.ranking[i].pump);
}

TEST_CASE("routes found at one height are proved again at the next before anything is searched") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const auto first = answers(settled(request_for(prepared, 300), real_solver()));
  const auto again = answers(settled(request_for(prepared, 301, first[0]->result->searches), real_solver()));
  REQUIRE_FALSE(again.empty());
  CHECK_FALSE(again[0]->best_of_pump);
  CHECK(again[0]->result->verdict.fit == Fit::fits);
  CHECK(again[0]->question.candidate.height == Length::mm(301));
}

// A search that ended blocked at another height is no argument at this one.
TEST_CASE("what earlier searches did not find is never told as not fitting") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const auto first = answers(settled(request_for(prepared, 300), real_solver()));
  SolverCalls calls = real_solver();
  calls.judge_again = [](const Prepared&, const Candidate& c, const std::vector<LineSearch>&,
                         const std::stop_token&) { return result_of(c, Fit::does_not_fit, true); };
  int fresh = 0;
  calls.judge_fresh = [&](const Prepared&, const Candidate& c, const std::stop_token&) {
    ++fresh;
    return result_of(c, Fit::fits, true);
  };
  const auto found = answers(settled(request_for(prepared, 301, first[0]->result->searches), calls));
  CHECK(fresh == 1);
  CHECK(found[0]->result->verdict.fit == Fit::fits);
}

TEST_CASE("a fit proved for the very question stays when a search for it ends undecided") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const auto first = answers(settled(request_for(prepared, 300), real_solver()));
  SolverCalls calls = real_solver();
  calls.choose = [](const Prepared&, const Query& query, const std::stop_token&, const Progress&) {
    Choice choice;
    choice.candidates = {
        result_of(Candidate{query.pumps[0], 0, 0, 0, 0, query.height}, Fit::undecided, true)};
    return choice;
  };
  const auto found = answers(settled(request_for(prepared, 301, first[0]->result->searches), calls));
  for (const auto& answer : found)
    if (answer->best_of_pump && answer->question.candidate.pump == 0)
      CHECK(answer->result->verdict.fit == Fit::fits);
  CHECK(found.back()->result->verdict.fit != Fit::does_not_fit);
}

TEST_CASE("routes in a make that was switched off may not serve again") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const auto first = answers(settled(request_for(prepared, 300), real_solver()));
  const auto& searches = first[0]->result->searches;
  REQUIRE(routes_may_serve(prepared->job(), searches));
  Job job = box_job::make();
  job.vehicle.lines[0].makes = {Make::bent_tube};
  CHECK_FALSE(routes_may_serve(job, searches));
  job = box_job::make();
  job.stock.clear();
  CHECK_FALSE(routes_may_serve(job, searches));
  CHECK_FALSE(routes_may_serve(prepared->job(), {}));
}

TEST_CASE("nothing is posted of work that was stopped") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  std::stop_source stop;
  SolverCalls calls = real_solver();
  calls.choose = [&](const Prepared&, const Query& query, const std::stop_token&, const Progress&) {
    stop.request_stop();
    Choice choice;
    choice.candidates = {result_of(Candidate{query.pumps[0], 0, 0, 0, 0, query.height}, Fit::fits, true)};
    return choice;
  };
  std::vector<SolverMessage> out;
  settle(request_for(prepared, 300), calls, stop.get_token(),
         [&](SolverMessage m) { out.push_back(std::move(m)); });
  CHECK(answers(out).empty());
  CHECK_FALSE(std::holds_alternative<Ranked>(out.back()));
}

TEST_CASE(
    "height windows arrive piece by piece, ascending and without holes, as they are when all are known") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  std::vector<HeightWindow> pieces;
  bool done = false;
  SettleRequest request = request_for(prepared, 300);
  request.pumps.resize(1);
  find_windows(request, real_solver(), {}, [&](SolverMessage message) {
    if (const auto* known = std::get_if<WindowKnown>(&message)) pieces.push_back(known->window);
    done = done || std::holds_alternative<WindowsDone>(message);
  });
  const auto all = height_windows(*prepared, 0, 0, Length::mm(1), {}, {}, {});
  CHECK(done);
  REQUIRE(pieces.size() >= all.size());
  CHECK(pieces.front().from == all.front().from);
  CHECK(pieces.back().to == all.back().to);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (i > 0) CHECK(pieces[i].from == pieces[i - 1].to);
    const auto holds = [&](const HeightWindow& w) {
      return w.from <= pieces[i].from && pieces[i].to <= w.to;
    };
    const auto whole = std::find_if(all.begin(), all.end(), holds);
    REQUIRE(whole != all.end());
    CHECK(whole->fit == pieces[i].fit);
  }
}

TEST_CASE("windows that are stopped are not told as undecided") {
  const Prepared prepared(box_job::make());
  std::stop_source stop;
  std::vector<HeightWindow> told;
  height_windows(prepared, 0, 0, Length::mm(1), {}, stop.get_token(), {}, [&](const HeightWindow& w) {
    told.push_back(w);
    stop.request_stop();
  });
  CHECK(told.size() == 1);
}

TEST_CASE("the worker does the newest request and tells what runs to stop", "[worker]") {
  SolverWorker worker(Precedence::normal);
  std::mutex mutex;
  std::condition_variable changed;
  bool first_runs = false;
  std::vector<int> ended;
  worker.ask([&](const std::stop_token& stop) {
    std::unique_lock lock(mutex);
    first_runs = true;
    changed.notify_all();
    lock.unlock();
    while (!stop.stop_requested()) std::this_thread::yield();
    lock.lock();
    ended.push_back(1);
  });
  std::unique_lock lock(mutex);
  changed.wait(lock, [&] { return first_runs; });
  worker.ask(
      [&](const std::stop_token&) { ended.push_back(2); });  // never begun, or stopped with the lock held
  worker.ask([&](const std::stop_token&) {
    const std::lock_guard inner(mutex);
    ended.push_back(3);
    changed.notify_all();
  });
  changed.wait(lock, [&] { return !ended.empty() && ended.back() == 3; });
  CHECK(ended == std::vector<int>{1, 3});
}
