// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/rule_words.h"

namespace hosefit {

RuleWords rule_words(RuleId rule) {
  using enum Bound;
  switch (rule) {
    case RuleId::gap:
      return {at_least, "{subject}: {other|something without a name}[, {amount}]",
              "A hose that touches wears through and empties the system.",
              "Lead the line another way, or move what is in its way by the missing amount."};
    case RuleId::self_gap:
      return {at_least, "{subject}: the line meets itself[, {amount}]",
              "Hose that touches hose chafes through.", "Give the line a wider turn or another make."};
    case RuleId::bend_radius:
      return {at_least, "{subject}: bend too tight[, {amount}]",
              "A hose bent tighter than it allows kinks and shuts off the flow.",
              "Use a moulded elbow there, or lead the line round a wider turn."};
    case RuleId::bend_angle:
      return {at_most, "{subject}: bend angle not on sale[, {amount}]",
              "A bend forced to another angle kinks or pulls off its neck.",
              "Cut from a shape of the next larger angle, or turn a neck."};
    case RuleId::straight_between_bends:
      return {at_least, "{subject}: too little straight between two bends[, {amount}]",
              "Without it the bends cannot be made or joined.",
              "Spread the bends apart, or join them in one moulded shape."};
    case RuleId::lead:
      return {at_least, "{subject}: too little straight at a neck[, {amount}]",
              "A bend that starts on the neck lifts the hose off its bead and weeps.",
              "Start the first bend later, or choose an elbow."};
    case RuleId::length_on_sale:
      return {none, "{subject}: no length on sale suits[ ({found} wanted)][, {amount}]",
              "Stretched or pressed hose pulls off or kinks.", "Choose a make that is cut to length."};
    case RuleId::tangent_break:
      return {at_most, "{subject}: two pieces of the run meet at an angle[, {amount}]",
              "Such a run cannot be made as drawn.",
              "Report this with the input: the proof refused a run of the search."};
    case RuleId::end_mismatch:
      return {at_most, "{subject}: the run ends beside its neck[, {amount}]",
              "A hose cut to this run does not reach.",
              "Report this with the input: the proof refused a run of the search."};
    case RuleId::grade:
      return {at_most, "{subject}: rises and falls where it must go one way[, {amount}]",
              "Air stays in the hump and stops the coolant.",
              "Lead the line without the hump, or fit a bleed at its highest place."};
    case RuleId::known_space:
      return {none, "{subject}: leaves the space that was measured[, {found} of it]",
              "Something that nobody recorded may be in the way.",
              "Measure what is there, then widen known_space in the vehicle file."};
    case RuleId::unseen_space:
      return {none,
              "{subject}: is where {other|a scan} does not tell what is there[, from {mm:from_s_mm} to "
              "{mm:to_s_mm} along it]",
              "Something that was never seen may be in the way.",
              "Scan there from the other side or farther on; or measure what is there, draw it, and say "
              "looked_behind: true in a box of known_space."};
    case RuleId::clamp_blocked:
      return {at_least, "{subject}: no room for the clamp housing[: {other}][, {amount}]",
              "A clamp that cannot be seated or reached weeps when cold.",
              "Turn the neck or move what is beside it."};
    case RuleId::stub_blocked:
      return {at_least, "{subject}: no room on the neck itself[: {other}][, {amount}]",
              "No hose of any make can be pushed on.",
              "Turn or move the neck, or move what stands before it."};
    case RuleId::no_passage:
      return {at_least, "{subject}: no way through for a hose of this width[: {other}][, {amount}]",
              "No make of hose can reach from neck to neck.",
              "Move what is named, or move a neck to the other side."};
    case RuleId::no_route_found:
      return {at_least,
              "{subject}: no way found, none ruled out[; on the nearest one: {other}][, {amount}][; nothing "
              "is in the way of the shortest, but {breaks}]",
              "The search ended before an answer was certain.",
              "Lay a wire by hand and look, or search again with another seed."};
    case RuleId::no_stock:
      return {none, "{subject}: a way exists, but no stock can follow it[; nearest: {other}][, {amount}]",
              "The hose would have to be made to order.",
              "Add stock to the shelf file, allow another make, or move a neck."};
    case RuleId::engagement:
      return {at_least, "{subject}: too little neck for the hose[ at {other}][, {amount}]",
              "A hose held by too little neck blows off under pressure.", "Have a longer neck fitted."};
    case RuleId::neck_match:
      return {none,
              "{subject}: hose bore and neck differ[ at {other}][, {mm:hose_id_mm} bore on "
              "{mm:neck_od_mm}][, too {p:kind} by {missing}]",
              "A loose hose weeps, a forced one splits.", "Use a reducer or a neck of the hose's size."};
    case RuleId::neck_bead:
      return {none, "{subject}: neck without a bead[ at {other}]",
              "A hose slides off a plain neck under pressure.", "Have a bead rolled on the neck."};
    case RuleId::flange_mismatch:
      return {none,
              "{subject}: bolt pattern differs[ from {other}][ (pump {p:pump_flange}, housing "
              "{p:housing_flange})]",
              "The housing does not bolt to this pump.", "Take a housing with the pump's bolt pattern."};
    case RuleId::seat_mismatch:
      return {
          none,
          "{subject}: thermostat housing made for another port[ ({other})][; the seat is on the {p:place}]",
          "The thermostat would stand in the wrong stream.",
          "Take a housing made for the port that the pump's seat is on."};
    case RuleId::belt_plane:
      return {
          at_most,
          "{subject}: belt line[ against {other}][, {amount}][, {p:offset_deg} deg over the longest span]",
          "A belt that runs askew wears, squeals and jumps off.",
          "Take the pump or drive of the other depth, or a spacer made for the set."};
    case RuleId::rotation:
      return {none, "{subject}: turns the wrong way[ with {other}][ ({p:given}, needs {p:wanted})]",
              "A pump driven backwards hardly moves coolant.",
              "Take the pump for this side of the belt, or a drive that uses the other side."};
    case RuleId::hood_over_intake:
      return {at_least, "{subject}: under[ {other|the hood}][, {amount}]",
              "The hood rests on the engine and knocks when it moves.",
              "Take a lower intake or air duct, or raise the hood by the missing amount."};
    case RuleId::intake_over_pump:
      return {at_least, "{subject}: {other|the intake} above it[, {amount}]",
              "The two parts meet before both can be bolted down.",
              "Raise the intake by the missing amount or take a lower pump."};
    case RuleId::rigid_clash:
      return {at_least, "{subject}[ ({p:obstacle})]: against {other|another part}[, {amount}]",
              "Metal that touches metal knocks, wears and breaks.",
              "Move one of the two by the missing amount, or take another part."};
    case RuleId::fan_to_core:
      return {at_least, "{subject}: fan to radiator[ ({other})][, {amount}]",
              "A fan that flexes or moves forward cuts the core.",
              "Take a shallower pump or drive, or an electric fan on the core."};
    case RuleId::joint_count:
      return {at_most, "{subject}: many joints[, {amount}]", "Every clamped end is one more place to weep.",
              "Take a make with fewer pieces if one fits."};
    case RuleId::span_support:
      return {at_most, "{subject}: long run without a support[, {amount}]",
              "A hose that swings rubs and pulls at its necks.",
              "Hold it by a cushioned clip about half way."};
    case RuleId::suction_collapse:
      return {none, "{subject}: may be sucked flat[ at {limit} below the air outside, when hot]",
              "A hose that closes at high engine speed starves the pump.",
              "Fit a spring inside the hose, or use metal tube."};
    case RuleId::velocity:
      return {at_most, "{subject}: coolant runs fast[, {amount}]",
              "Fast coolant wears tube and costs pressure.",
              "Take the next larger bore where the necks allow it."};
    case RuleId::suction_margin:
      return {at_least, "{subject}: little pressure left at the pump inlet[, {amount}]",
              "Coolant that boils at the inlet wears the pump and stops the flow.",
              "Shorten or widen the suction line, or use a cap of higher rating that every part stands."};
    case RuleId::bypass_loop:
      return {none, "{subject}: no way round the closed thermostat[ ({other})]",
              "Standing coolant boils in the heads during warm-up.",
              "Keep a bypass or the heater circuit open."};
    case RuleId::stock_radius_unsourced:
      return {none, "{subject}: least bend radius of the stock has no source[ ({p:stock})]",
              "The hose may kink earlier than the figure says.",
              "Bend a piece of the real hose, measure, and enter it in the stock file."};
    case RuleId::motion_assumed:
      return {none,
              "proved for an engine that goes no further on its mounts[ ({p:mounts})] than[ {p:roll_deg} deg "
              "of roll "
              "either way, {mm:lift_mm} up or down, {mm:forward_mm} forward, {mm:rearward_mm} rearward and "
              "{mm:sideways_mm} to a side, as] written[; between engine and chassis: {p:lines}]",
              "Softer or torn mounts let it go further.",
              "Look at the mounts, and at every gap under load, both ways, before the vehicle leaves."};
    case RuleId::motion_gap:
      return {at_least, "{subject}: {other|an obstacle} when the engine moves[, {amount}]",
              "What touches when the engine moves wears through.",
              "Lead the line another way, hold it by a clip, or hold the engine tighter."};
    case RuleId::motion_clash:
      return {at_least,
              "{subject}[ ({p:obstacle})]: against {other|an obstacle} when the engine moves[, {amount}]",
              "Metal that touches when the engine moves knocks, wears and breaks.",
              "Move one of the two by the missing amount, or hold the engine tighter."};
    case RuleId::motion_bend:
      return {at_least, "{subject}: bends tighter when the engine moves[, {amount}]",
              "A hose that is bent too tightly kinks and closes.",
              "Take a longer way, or a make that is made to shape."};
    case RuleId::motion_coupler:
      return {at_most, "{subject}: a coupler turns when the engine moves[, {amount}]",
              "A coupler worked that far leaks or tears at its clamp.",
              "Put a flexible piece between the tube and the part that moves."};
    case RuleId::motion_shape:
      return {at_least, "{subject}: takes no one shape when the engine moves[ ({other})][, {amount}]",
              "A line without room to give pulls at its necks or snaps over.",
              "Give it a bend and some length to spare, or hold the engine tighter."};
    case RuleId::neck_elsewhere:
      return {none,
              "{subject}: to be ordered elsewhere than written[, {mm:forward_mm} forward]"
              "[, {mm:rearward_mm} rearward][, {mm:left_mm} to the left][, {mm:right_mm} to the right]"
              "[, {mm:up_mm} up][, {mm:down_mm} down][, turned by {p:turned_deg} deg]",
              "Hoses cut to this plan do not reach the neck where it is now.",
              "Give its maker the drawing of it, and cut no hose before the part is here and measured."};
    case RuleId::tee_stands:
      return {
          none,
          "{subject}: sits in {other|its line}[, its middle {mm:distance_mm} along it from {p:from}][, the "
          "branch at {p:clock_deg} deg]",
          "Hoses cut to this plan meet only with the tee at this place and at this angle.",
          "Mark place and angle on the dry hose before it is clamped, and hold the tee by a cushioned clip: "
          "the "
          "hoses are proved as if it kept its place."};
    case RuleId::tee_not_placed:
      return {none, "{subject}: no place found for it in {other|its line}[ ({p:tried} looked at)]",
              "Whether it goes in there is not known: not every place was tried, or its line has no way yet.",
              "Widen its range, let its branch point more ways, or put it into another line."};
    case RuleId::tee_out_of_range:
      return {
          none,
          "{subject}: not where or how it may sit in {other|its line}[, {found} along it][, {limit} is the "
          "bound][, its branch at {p:clock_deg} deg]",
          "The line came out otherwise than the one the place was chosen on.",
          "Widen its range, or search again with another seed."};
    case RuleId::tee_in_motion:
      return {
          none,
          "{subject}: the hoses at it end on engine and chassis, and how it moves with the engine is not "
          "worked out[ (in {other})]",
          "Tee and hoses may rub on something or on each other when the engine moves; nothing beside them "
          "is proved in motion either.",
          "Put it where all three of its hoses end on the engine or all on the chassis, or look at it by "
          "hand."};
    case RuleId::tee_flow:
      return {none, "{subject}: coolant flow and its pressures are not worked out with a tee[ in {other}]",
              "What runs through the branch is missing from the line beyond it.",
              "Measure temperatures and pressures on the finished vehicle."};
    case RuleId::chosen_height_range:
      return {none, "{subject}: height outside what the intake allows[, {amount}]",
              "The intake is not made at this height.", "Ask for a height inside the intake's range."};
  }
  return {};
}

std::string_view consequence_near(Hazard hazard) {
  switch (hazard) {
    case Hazard::smooth_metal:
      return "Hose that rubs on metal wears through.";
    case Hazard::sharp_edge:
      return "An edge cuts what rubs on it.";
    case Hazard::belt_or_pulley:
      return "A belt saws through what it touches within minutes.";
    case Hazard::fan:
      return "A fan cuts what it reaches, and may start with the ignition off.";
    case Hazard::bare_exhaust:
      return "Bare exhaust hardens and cracks hose, and coolant sprayed on it can burn.";
    case Hazard::shielded_exhaust:
      return "Exhaust heat hardens and cracks hose, even behind a shield.";
    case Hazard::steering:
      return "What touches the steering can block it: any contact is a stop.";
    case Hazard::throttle_linkage:
      return "What touches the throttle can hold it open: any contact is a stop.";
    case Hazard::hood:
      return "The closed hood presses on it and cuts in.";
    case Hazard::fuel:
      return "Rubbing opens a fuel line beside hot parts.";
    case Hazard::electrics:
      return "Rubbing bares wires, and a leak drowns them.";
    case Hazard::air_duct:
      return "The two chafe and one of them leaks.";
    case Hazard::radiator_core:
      return "What rubs on the core opens its thin tubes.";
    case Hazard::another_hose:
      return "Hose that touches hose chafes through.";
  }
  return {};
}

}  // namespace hosefit
