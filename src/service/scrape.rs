//! Scraping: ware goes on from the drop-off, as much at once as the table behind has room for.

use super::Service;
use super::crew::Job;
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone};
use super::station::{Next, Station, Unit};
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

pub(super) const STATION: Station = Station {
    unit_time: |room| room.scrape.as_ref().map(|bench| &bench.per_unit),
    in_hand: Some(Zone::Scraping),
    ..Station::new(
        Duty::Scrape,
        Unit::Pieces,
        |service, _| service.next_to_scrape(),
        |service, _| service.take_to_scrape(),
        |service, _, job| service.scraped(job),
    )
};

impl Service<'_> {
    fn next_to_scrape(&self) -> Next {
        let places = self.room.scrape.as_ref().map_or(0, |bench| bench.places);
        if !self.has_place(Duty::Scrape, places) {
            Next::Waits(Obstacle::Place)
        } else if self.first_soiled_has_room() {
            Next::Ready(Spot::of_duty(Duty::Scrape))
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// Takes pieces to scrape, as many as fit on the table behind.
    fn take_to_scrape(&mut self) -> Job {
        let batch = self.room.scrape.as_ref().map_or(1, |bench| bench.batch);
        let mut room_left = self.room_after_scrape();
        let mut job = Job {
            hand: Pile::new(Zone::Scraping),
            spot: Spot::of_duty(Duty::Scrape),
            ..Job::default()
        };
        while job.hand.len() < batch {
            let Some(piece) = self.peek_soiled() else {
                break;
            };
            if self.needs_table(piece, Zone::Scraping) {
                if room_left == 0 {
                    break;
                }
                room_left -= 1;
                job.kept += 1;
            }
            let Some(piece) = self.next_soiled() else {
                break;
            };
            let ware = self.flow[piece.piece()].ware;
            job.more_s += self.room.wares[ware as usize].scrape_s;
            job.hand.put(&mut self.flow, piece);
        }
        self.table_after_scrape().keep(job.kept);
        job
    }

    /// Scraped pieces go on.
    fn scraped(&mut self, mut job: Job) {
        self.table_after_scrape().give_back(job.kept);
        while let Some(piece) = job.hand.take(&self.flow) {
            self.send_on(piece);
        }
    }
}
