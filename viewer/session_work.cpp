// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/input/load_job.h"
#include "solver/report/words.h"
#include "viewer/session.h"

/// The part of the session that talks with its workers.
namespace hosefit {
namespace {

constexpr double kLookEvery_s = 1.0;

void draw_ahead(const Job& job, MeshStore& meshes) {
  const Vehicle& vehicle = job.vehicle;
  for (const auto& body :
       {vehicle.chassis, vehicle.hood, vehicle.fan, vehicle.on_engine, job.family.engine.body})
    meshes.of(body);
  for (const Pump& pump : job.family.pumps) meshes.of(pump.body);
  for (const Drive& drive : job.family.drives) meshes.of(drive.body);
  for (const Housing& housing : job.family.housings) meshes.of(housing.body);
}

// Everything that may fail on the way to a job becomes words.
Loaded loaded_from(const std::string& folder, const InstallPlaces& places, MeshStore& meshes) {
  Loaded out;
  out.folder = folder;
  try {
    auto found = find_job_places({folder}, places);
    if (const auto* problem = std::get_if<std::string>(&found)) {
      out.problems = safe_text(*problem);
      return out;
    }
    out.paths = std::get<JobPaths>(found);
    out.stamps = file_stamps(out.paths);
    Result<Job> job = load_job(out.paths);
    if (!job) {
      out.problems = format_problems(job.problems());
      return out;
    }
    if (job->family.pumps.empty() || job->family.drives.empty() || job->family.housings.empty() ||
        job->family.intakes.empty()) {
      out.problems =
          "This vehicle's engine family has no complete set of pump, drive, housing and intake to choose "
          "from.";
      return out;
    }
    auto good = std::make_shared<const Job>(*std::move(job));
    draw_ahead(*good, meshes);
    out.job = std::move(good);
  } catch (const std::exception& error) {
    out.problems = fmt::format("The vehicle could not be read: {}", safe_text(error.what()));
  }
  return out;
}

Job changed(Job job, const Changes& changes) {
  if (changes.engine_at_mm) job.vehicle.engine_at_mm.value = *changes.engine_at_mm;
  if (changes.engine_tilt) job.vehicle.engine_tilt = *changes.engine_tilt;
  for (const auto& [line, make] : changes.makes_off) std::erase(job.vehicle.lines[line].makes, make);
  if (job.vehicle.tee)  // whole only where neither part may be made so
    std::erase_if(job.vehicle.tee->whole.makes, [&](Make make) {
      return changes.makes_off.contains({job.vehicle.tee->before, make}) &&
             changes.makes_off.contains({job.vehicle.tee->after, make});
    });
  std::erase_if(job.stock, [&](const Stock& stock) { return changes.stock_off.contains(stock.id); });
  return job;
}

bool same_question(const Job& a, const Job& b) {
  return a.vehicle.question.intake == b.vehicle.question.intake &&
         a.vehicle.question.height == b.vehicle.question.height;
}

}  // namespace

void Session::load(bool only_if_changed) {
  if (!only_if_changed) {
    ++loads_;
    state_.loading = true;
  }
  const std::string folder = state_.folder;
  reader_.ask([=, number = loads_, places = places_, meshes = meshes_, mail = loaded_, wake = wake_,
               paths = watched_, stamps = stamps_](const std::stop_token& stop) {
    if (only_if_changed && file_stamps(paths) == stamps) return;
    Loaded out = loaded_from(folder, places, *meshes);
    out.number = number;
    if (stop.stop_requested()) return;
    mail->put(std::move(out));
    wake();
  });
}

void Session::tick(double seconds) {
  for (const Loaded& loaded : loaded_->take()) take(loaded);
  for (const SolverMessage& message : answers_->take())
    std::visit([this](const auto& one) { take(one); }, message);
  if (seconds < next_look_ || state_.loading || watched_.vehicle_folder.empty() || reader_.busy()) return;
  next_look_ = seconds + kLookEvery_s;
  load(true);
}

void Session::take(const Loaded& loaded) {
  if (loaded.number != loads_ || loaded.folder != state_.folder) return;
  state_.loading = false;
  if (!loaded.paths.vehicle_folder.empty()) watched_ = loaded.paths;
  stamps_ = loaded.stamps;
  if (loaded.job) return take_job(loaded);
  state_.problems = loaded.problems;
  solver_.abandon();
  window_finder_.abandon();
  ++requests_;
  state_.solving = state_.windows_running = false;
  state_.working.clear();
  refill_panes();
}

void Session::take_job(const Loaded& loaded) {
  const bool first = !state_.as_read;
  const bool asks_anew = first || !same_question(*state_.as_read, *loaded.job);
  state_.problems.clear();
  state_.failure.clear();
  state_.changes = {};  // lines and parts may have moved within the files
  state_.as_read = loaded.job;
  state_.selected.reset();
  if (first) state_.unit = loaded.job->vehicle.shown_in;
  if (asks_anew || state_.intake >= loaded.job->family.intakes.size()) {
    const Query query = question_of(*loaded.job);
    state_.intake = query.intake;
    state_.height = query.height;
  }
  const Intake& intake = loaded.job->family.intakes[state_.intake];
  state_.height = std::clamp(state_.height, intake.least_height, intake.most_height);
  const bool seen_before = !state_.panes.empty();
  const Orbit camera = seen_before ? state_.panes.front().scene.camera : Orbit{};
  state_.panes.clear();  // answers of the old files name parts that may be gone
  state_.windows.clear();
  state_.prepared.reset();
  remake_job();
  if (seen_before)
    for (Pane& pane : state_.panes) pane.scene.camera = camera;
  else
    fit_cameras();
}

void Session::remake_job() {
  state_.prepared =
      std::make_shared<const Prepared>(changed(*state_.as_read, state_.changes), solver_threads());
  ++state_.job;
  for (auto& [pump, bar] : state_.windows) {
    if (bar.done || bar.before.empty()) bar.before = bar.known;
    bar.known.clear();
    bar.done = false;
  }
  begin_panes();
  leave_windows();
  ask_again();
}

// They are begun anew once the pumps are ranked.
void Session::leave_windows() {
  window_finder_.abandon();
  state_.windows_running = false;
}

// One pane per pump; those that are there keep their place, camera and last answer.
void Session::begin_panes() {
  const Job& job = state_.prepared->job();
  std::vector<Pane> panes = std::move(state_.panes);
  state_.panes.clear();
  for (std::size_t pump = 0; panes.size() < job.family.pumps.size() && pump < job.family.pumps.size();
       ++pump) {
    Pane pane;
    pane.pump = pump;
    panes.push_back(pane);
  }
  for (Pane& pane : panes) {
    const bool usable = pane.held && pane.held->question.candidate.intake == state_.intake;
    pane.asked = usable
                     ? pane.asked
                     : first_candidate(job, pane.pump, state_.intake, state_.height, state_.changes.housings);
    if (!has_its_places(state_.prepared->bodies(), pane.asked)) {
      pane.asked.neck_places.clear();
      pane.asked.tees.clear();
    }
    pane.asked.intake = state_.intake;
    pane.asked.height = state_.height;
    const auto held = state_.changes.housings.find(pane.pump);
    if (held != state_.changes.housings.end() &&
        (pane.asked.housing != held->second.housing || pane.asked.clock != held->second.clock))
      pane.asked = first_candidate(job, pane.pump, state_.intake, state_.height, state_.changes.housings);
  }
  state_.panes = std::move(panes);
  state_.chosen = std::min(state_.chosen, state_.panes.empty() ? 0 : state_.panes.size() - 1);
}

SettleRequest Session::request() {
  SettleRequest out{
      ++requests_, state_.job, state_.prepared, state_.intake, state_.height, state_.changes.housings, {}};
  const auto add = [&](const Pane& pane) {
    PumpWanted wanted{pane.asked, {}};
    if (pane.held && pane.held->question.candidate.intake == state_.intake)
      wanted.earlier = pane.held->result->searches;
    out.pumps.push_back(std::move(wanted));
  };
  if (state_.chosen < state_.panes.size()) add(state_.panes[state_.chosen]);
  for (std::size_t i = 0; i < state_.panes.size(); ++i)
    if (i != state_.chosen) add(state_.panes[i]);
  return out;
}

void Session::ask_again() {
  refill_panes();
  if (!state_.problems.empty()) return;
  state_.solving = true;
  state_.stopped = state_.ranked = false;
  state_.failure.clear();
  const PostSolver post = [mail = answers_, wake = wake_](SolverMessage message) {
    mail->put(std::move(message));
    wake();
  };
  solver_.ask([request = request(), calls = calls_, post](const std::stop_token& stop) {
    try {
      settle(request, calls, stop, post);
    } catch (const std::exception& error) {
      post(Failed{safe_text(error.what())});
    }
  });
}

// The chosen pump first, then the others as ranked. What is known of a pump that is begun again stays until
// then.
void Session::ask_windows() {
  if (!state_.problems.empty()) return;
  SettleRequest wanted = request();
  --requests_;  // windows are told by job and intake, they are no request of their own
  std::erase_if(wanted.pumps, [&](const PumpWanted& p) {
    const auto bar = state_.windows.find(p.candidate.pump);
    return bar != state_.windows.end() && bar->second.done;
  });
  state_.windows_running = !wanted.pumps.empty();
  const PostSolver post = [mail = answers_, wake = wake_](SolverMessage message) {
    mail->put(std::move(message));
    wake();
  };
  window_finder_.ask([wanted, calls = calls_, post](const std::stop_token& stop) {
    try {
      find_windows(wanted, calls, stop, post);
    } catch (const std::exception& error) {
      post(Failed{safe_text(error.what())});
    }
  });
}

void Session::take(const Judged& message) {
  const Asked& asked = message.answer->question;
  if (asked.job != state_.job || !state_.prepared) return;
  for (Pane& pane : state_.panes) {
    if (pane.pump != asked.candidate.pump || asked.candidate.intake != state_.intake) continue;
    const bool this_height = asked.candidate.height == state_.height;
    const auto held = state_.changes.housings.find(pane.pump);
    const bool this_housing =
        held == state_.changes.housings.end() ||
        (asked.candidate.housing == held->second.housing && asked.candidate.clock == held->second.clock);
    if (!this_housing) continue;
    // Where the necks are is part of the answer.
    if (this_height && (message.answer->best_of_pump || same_parts(pane.asked, asked.candidate)))
      pane.asked = asked.candidate;
    if (asked != Asked{state_.job, pane.asked} && current_answer(state_, pane) != nullptr) continue;
    pane.held = message.answer;
    fill_pane(state_, *meshes_, pane);
  }
}

void Session::take(const Ranked& message) {
  if (message.number != requests_) return;
  const std::size_t chosen_pump = state_.panes.empty() ? 0 : state_.panes[state_.chosen].pump;
  const auto place = [&](const Pane& pane) {
    return std::find(message.pumps.begin(), message.pumps.end(), pane.pump) - message.pumps.begin();
  };
  std::stable_sort(state_.panes.begin(), state_.panes.end(),
                   [&](const Pane& a, const Pane& b) { return place(a) < place(b); });
  for (std::size_t i = 0; i < state_.panes.size(); ++i)
    if (state_.panes[i].pump == chosen_pump) state_.chosen = i;
  if (!state_.chosen_by_hand) state_.chosen = 0;
  state_.solving = false;
  state_.ranked = true;
  state_.working.clear();
  state_.work_done = state_.work_of = 0;
  refill_panes();
  if (!state_.windows_running) ask_windows();
}

void Session::take(const Working& message) {
  if (message.number != requests_) return;
  state_.working = message.what;
  state_.work_done = message.done;
  state_.work_of = message.of;
}

void Session::take(const Failed& message) {
  state_.failure = message.what;
  state_.solving = state_.windows_running = false;
  state_.working.clear();
}

void Session::take(const WindowKnown& message) {
  if (message.job != state_.job || message.intake != state_.intake) return;
  std::vector<HeightWindow>& known = state_.windows[message.pump].known;
  if (!known.empty() && message.window.from < known.back().to)
    known.clear();  // a new search of the same pump
  if (!known.empty() && known.back().fit == message.window.fit) {
    known.back().to = message.window.to;
    if (!known.back().binds) known.back().binds = message.window.binds;
  } else {
    known.push_back(message.window);
  }
}

void Session::take(const WindowsDone& message) {
  if (message.job != state_.job || message.intake != state_.intake) return;
  state_.windows[message.pump].done = true;
  state_.windows[message.pump].before.clear();
  state_.windows_running = std::any_of(state_.panes.begin(), state_.panes.end(), [&](const Pane& pane) {
    const auto bar = state_.windows.find(pane.pump);
    return bar == state_.windows.end() || !bar->second.done;
  });
}

void Session::refill_panes() {
  if (!state_.prepared) return;
  for (Pane& pane : state_.panes) fill_pane(state_, *meshes_, pane);
}

void Session::fit_cameras() {
  for (Pane& pane : state_.panes) pane.scene.camera = fitted(Orbit{}, focus_of(pane.scene), 1.3);
}

}  // namespace hosefit
