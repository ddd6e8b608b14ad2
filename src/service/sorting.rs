//! Ware is sorted into decoy racks as it comes, and they are carried on to the loading stations.

use super::common::Common;
use super::decoys::SPOT;
use super::diary::Happening;
use super::job::{Job, Thing};
use super::line::racks::Place;
use super::loading::{HAIR, Racking, stations};
use super::pieces::{Pile, Zone};
use crate::room::own::Whose;
use crate::room::time::Time;

impl Racking {
    /// What is brought goes into decoy racks, as far as it is of their kinds and racks are there; the rest stays in hand.
    pub(super) fn sort_into_decoys(&mut self, common: &mut Common<'_>, hand: &mut Pile) {
        if common.room.decoy_takes_s.is_none() {
            return;
        }
        let mut others = Pile::new(hand.zone());
        while let Some(mut run) = hand.take_run(&mut common.flow) {
            let ware = run.head().map(|head| common.flow[head].ware as usize);
            let sorted = ware.filter(|ware| common.room.wares[*ware].is_sorted);
            while let Some(ware) = sorted.filter(|_| !run.is_empty()) {
                let fits = self.fits_in_decoy(common, ware);
                if fits == 0 {
                    break;
                }
                let some = run.take(&mut common.flow, fits);
                self.sort(common, ware, some);
            }
            others.put(&mut common.flow, run);
        }
        *hand = others;
    }

    /// How many pieces of a ware fit into the open rack, or into another that is opened; 0 if none is free.
    fn fits_in_decoy(&mut self, common: &mut Common<'_>, ware: usize) -> u32 {
        let kind = common.room.wares[ware].rack_kind;
        let share = self.share[ware].max(1);
        let full = self.fill[kind] + HAIR;
        let of = &mut self.kinds[kind];
        let Some(decoys) = &mut of.decoys else {
            return 0;
        };
        let fit = full.saturating_sub(decoys.load) / share;
        if fit > 0 && !decoys.racks.is_empty() {
            return fit.min(u64::from(u32::MAX)) as u32;
        }
        let Some(rack) = of.free.pop() else {
            return 0;
        };
        decoys.racks.push_back(rack);
        decoys.load = 0;
        self.racks[rack].moves(&mut common.flow, Place::Decoy, common.now);
        (full / share).clamp(1, u64::from(u32::MAX)) as u32
    }

    /// Puts pieces of a ware into the open rack.
    fn sort(&mut self, common: &mut Common<'_>, ware: usize, pile: Pile) {
        let (kind, share) = (common.room.wares[ware].rack_kind, self.share[ware]);
        let Some(decoys) = &mut self.kinds[kind].decoys else {
            return;
        };
        let pieces = pile.len();
        decoys.load += share * u64::from(pieces);
        common.tally.sorted += u64::from(pieces);
        common.dries_at(&pile, common.room.dries.in_racks);
        let (flow, events) = (&mut common.flow, &mut common.events);
        flow.reach_room(&pile, common.now);
        (decoys.line).join_weighing(flow, events, pile, share, common.now);
        if let Some(&rack) = decoys.racks.back() {
            common.note(Happening::Sorted { rack, pieces });
        }
    }

    /// The decoy racks that somebody could carry on next, and since when the first piece in them waits; and whether any
    /// are due, with a free station for them or without.
    #[inline]
    pub(super) fn decoy_to_carry(
        &self,
        common: &Common<'_>,
        whose: Whose<'_>,
    ) -> (Option<(Time, usize)>, bool) {
        if common.room.decoy_takes_s.is_none() {
            return (None, false);
        }
        self.due_decoy(common, whose)
    }

    fn due_decoy(&self, common: &Common<'_>, whose: Whose<'_>) -> (Option<(Time, usize)>, bool) {
        let kinds = self.kinds.iter().enumerate();
        let due = kinds.filter_map(|(kind, of)| {
            let line = &of.decoys.as_ref()?.line;
            let head = line.head()?;
            let place = common.room.stations.of_kind(kind, whose)?;
            let since = common.flow[head].joined;
            line.is_due(&common.flow, common.now)
                .then_some((since, kind, place))
        });
        let stations = stations(common.room);
        let (mut first, mut any) = (None, false);
        for (since, kind, place) in due {
            any = true;
            let is_first = first.is_none_or(|known| (since, kind) < known);
            if is_first && self.stations_used[place] < stations {
                first = Some((since, kind));
            }
        }
        (first, any)
    }

    /// Takes up the first decoy rack of a kind, to carry it to a loading station.
    pub(super) fn take_decoy(
        &mut self,
        common: &mut Common<'_>,
        kind: usize,
        whose: Whose<'_>,
    ) -> Job {
        let place = common.room.stations.of_kind(kind, whose).unwrap_or(0);
        let (share, full) = (&self.share, self.fill[kind] + HAIR);
        let Some(decoys) = &mut self.kinds[kind].decoys else {
            return Job::default();
        };
        let Some(rack) = decoys.racks.pop_front() else {
            return Job::default();
        };
        let mut load = 0;
        let (flow, events) = (&mut common.flow, &mut common.events);
        // As they were put in: what did not fit any more went into the next.
        let hand = (decoys.line).take_while(flow, events, common.now, |run| {
            let each = share[run.ware as usize];
            let fit = full.saturating_sub(load) / each.max(1);
            let fit = fit.max(u64::from(load == 0));
            let count = u64::from(run.count).min(fit) as u32;
            load += each * u64::from(count);
            (count, each)
        });
        if decoys.racks.is_empty() {
            decoys.load = 0;
        }
        self.stations_used[place] += 1;
        self.racks[rack].filled_at = place;
        self.racks[rack].load = load;
        self.racks[rack].moves(flow, Place::Filling, common.now);
        let loading = common.room.loading.as_ref();
        // It takes its own time, varied like that of a rack that is filled here.
        let unit_s = loading.map_or(0.0, |loading| loading.per_unit.mean_s);
        Job {
            hand: hand.moved_to(flow, Zone::Racking),
            thing: Thing::Rack(rack),
            more_s: common.room.decoy_takes_s.unwrap_or(0.0) - unit_s,
            spot: Some(SPOT),
            ..Job::default()
        }
    }
}
