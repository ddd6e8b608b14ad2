//! A batch scheduler on the loopback of this machine: its own authentication, controller and workers, all in
//! a folder of their own, all ended when the test lets go of it. It needs no systemd and no control groups.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::Read;
use std::net::TcpListener;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use nix::sys::signal::Signal;

use crate::outside;
use crate::running::{Running, send};

const WORKERS: [&str; 3] = ["w1", "w2", "w3"];
/// What is run of it.
const PROGRAMS: [&str; 7] = [
    "munged",
    "slurmctld",
    "slurmd",
    "sbatch",
    "squeue",
    "sinfo",
    "scontrol",
];

/// The running scheduler.
pub struct Cluster {
    folder: tempfile::TempDir,
    programs: BTreeMap<&'static str, PathBuf>,
    daemons: Vec<(String, Running)>,
}

impl Cluster {
    /// Starts everything and waits until all workers are idle.
    pub fn start() -> Self {
        let programs = programs().unwrap_or_else(|missing| panic!("{missing}"));
        let folder = tempfile::tempdir().expect("a folder");
        let mut cluster = Self {
            folder,
            programs,
            daemons: Vec::new(),
        };
        cluster.authentication();
        cluster.configuration();
        let conf = cluster.path("slurm.conf").display().to_string();
        cluster.daemon("slurmctld", "slurmctld", &["-D", "-f", &conf]);
        for worker in WORKERS {
            fs::create_dir_all(cluster.path("spool").join(worker)).expect("a folder");
            cluster.daemon(worker, "slurmd", &["-D", "-N", worker, "-f", &conf]);
        }
        let begun = Instant::now();
        while cluster.idle() < WORKERS.len() {
            let late = begun.elapsed() > Duration::from_secs(60);
            assert!(!late, "the workers did not come up\n{}", cluster.logs());
            std::thread::sleep(Duration::from_millis(200));
        }
        cluster
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn authentication(&mut self) {
        let mut key = Vec::new();
        let random = File::open("/dev/urandom").expect("random numbers");
        random.take(1024).read_to_end(&mut key).expect("a key");
        let path = self.path("munge.key");
        fs::write(&path, key).expect("a key");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o400)).expect("a key of ours");
        let options: Vec<String> = [
            ("socket", "munge.socket"),
            ("key-file", "munge.key"),
            ("pid-file", "munge.pid"),
            ("log-file", "munge.log"),
            ("seed-file", "munge.seed"),
        ]
        .iter()
        .map(|(option, file)| format!("--{option}={}", self.path(file).display()))
        .collect();
        let mut options: Vec<&str> = options.iter().map(String::as_str).collect();
        options.extend(["--foreground", "--force"]);
        self.daemon("munged", "munged", &options);
        let begun = Instant::now();
        while !self.path("munge.socket").exists() {
            let late = begun.elapsed() > Duration::from_secs(20);
            assert!(!late, "no authentication\n{}", self.logs());
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// Workers that are not heard of for five seconds are down, and their tasks go to others five seconds
    /// later; otherwise as Debian has it.
    fn configuration(&self) {
        let user = fs::metadata("/proc/self").expect("ourselves").uid();
        fs::create_dir_all(self.path("state")).expect("a folder");
        let here = self.folder.path().display();
        let ports = free_ports(1 + WORKERS.len());
        let mut text = format!(
            "ClusterName=wrackmouth\nSlurmctldHost=localhost(127.0.0.1)\nSlurmctldPort={}\n\
             SlurmUser={user}\nSlurmdUser={user}\nAuthType=auth/munge\nCredType=cred/munge\n\
             AuthInfo=socket={here}/munge.socket,cred_expire=5\nProctrackType=proctrack/pgid\n\
             TaskPlugin=task/none\nSwitchType=switch/none\nMpiDefault=none\nJobRequeue=1\n\
             JobAcctGatherType=jobacct_gather/none\nAccountingStorageType=accounting_storage/none\n\
             ReturnToService=2\nSlurmctldTimeout=10\nSlurmdTimeout=5\nKillWait=2\n\
             SchedulerParameters=batch_sched_delay=0,sched_interval=1,bf_interval=1\n\
             SelectType=select/cons_tres\nSelectTypeParameters=CR_CPU\n\
             SlurmdParameters=config_overrides\nStateSaveLocation={here}/state\n\
             SlurmdSpoolDir={here}/spool/%n\nSlurmctldPidFile={here}/slurmctld.pid\n\
             SlurmdPidFile={here}/%n.pid\n",
            ports[0]
        );
        for (worker, port) in WORKERS.iter().zip(&ports[1..]) {
            text.push_str(&format!(
                "NodeName={worker} NodeHostname=localhost NodeAddr=127.0.0.1 Port={port} CPUs=1 \
                 RealMemory=4000 State=UNKNOWN\n"
            ));
        }
        text.push_str("PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP\n");
        if let Some(plugins) = outside::fetched("slurm-plugins") {
            text.push_str(&format!("PluginDir={}\n", plugins.display()));
        }
        fs::write(self.path("slurm.conf"), text).expect("its configuration");
        let version = output(Command::new(&self.programs["slurmctld"]).arg("-V"));
        fs::write(self.path("cgroup.conf"), control_groups(&version)).expect("and the other one");
    }

    fn daemon(&mut self, name: &str, program: &str, arguments: &[&str]) {
        let log = File::create(self.path(&format!("{name}.out"))).expect("a log");
        let mut command = Command::new(&self.programs[program]);
        command
            .args(arguments)
            .env("SLURM_CONF", self.path("slurm.conf"))
            .stdout(log.try_clone().expect("a log"))
            .stderr(log);
        self.daemons
            .push((name.to_string(), Running::start(&mut command)));
    }

    fn client(&self, program: &str) -> Command {
        let mut command = Command::new(&self.programs[program]);
        command.env("SLURM_CONF", self.path("slurm.conf"));
        command
    }

    fn idle(&self) -> usize {
        let answer = self.client("sinfo").args(["-h", "-N", "-o", "%t"]).output();
        let answer = answer.map_or_else(|_| Vec::new(), |output| output.stdout);
        String::from_utf8_lossy(&answer)
            .lines()
            .filter(|state| *state == "idle")
            .count()
    }

    /// Submits the ready script as an array; the number of the job.
    pub fn submit(
        &self,
        script: &str,
        parts: u64,
        study: &str,
        replications: &str,
        out: &Path,
    ) -> u64 {
        let mut command = self.client("sbatch");
        command
            .args(["--parsable", &format!("--array=1-{parts}")])
            .arg(format!(
                "--output={}/job-%a.log",
                self.folder.path().display()
            ))
            .args([script, study, "-n", replications, "--out"])
            .arg(out)
            .env("SCULLERY", crate::program::PATH);
        output(&mut command).trim().parse().expect("a job")
    }

    /// Whether nothing of a job waits or runs any more.
    pub fn is_finished(&self, job: u64) -> bool {
        let job = job.to_string();
        output(self.client("squeue").args(["-h", "-j", &job]))
            .trim()
            .is_empty()
    }

    /// How often a task of a job was started again.
    pub fn restarts(&self, job: u64, task: u64) -> u64 {
        let text = output(
            self.client("scontrol")
                .args(["-o", "show", "job", &job.to_string()]),
        );
        let task = format!("ArrayTaskId={task} ");
        let line = text
            .lines()
            .find(|line| line.contains(&task))
            .expect("the task");
        let count = line
            .split("Restarts=")
            .nth(1)
            .and_then(|rest| rest.split(' ').next());
        count
            .and_then(|count| count.parse().ok())
            .expect("a number")
    }

    /// Kills, with `kill -9` as a machine that loses power does, the worker that has a task: its daemon,
    /// what watches over the task, and the task itself. Only processes that came of this cluster.
    pub fn kill_the_worker_of(&self, job: u64, task: u64) {
        let job = job.to_string();
        let answer = output(
            self.client("squeue")
                .args(["-h", "-r", "-j", &job, "-o", "%K %N"]),
        );
        let line = answer
            .lines()
            .find(|line| line.starts_with(&format!("{task} ")));
        let worker = line
            .and_then(|line| line.split(' ').nth(1))
            .expect("it runs");
        let daemon = self
            .daemons
            .iter()
            .find(|(name, _)| name == worker)
            .expect("a worker");
        kill(daemon.1.id());
        let (node, conf) = (
            format!("SLURMD_NODENAME={worker}"),
            format!("SLURM_CONF={}", self.path("slurm.conf").display()),
        );
        let tasks: Vec<u32> = processes(&[&node, &conf]);
        assert!(!tasks.is_empty(), "the task runs on {worker}");
        let watchers: Vec<u32> = tasks.iter().filter_map(|id| watcher(*id)).collect();
        for id in watchers.into_iter().chain(tasks) {
            kill(id);
        }
    }

    /// The ends of all logs.
    pub fn logs(&self) -> String {
        let mut text = String::new();
        for entry in fs::read_dir(self.folder.path())
            .into_iter()
            .flatten()
            .flatten()
        {
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.ends_with(".out") || name.ends_with(".log") {
                let log = fs::read_to_string(entry.path()).unwrap_or_default();
                let lines: Vec<&str> = log.lines().collect();
                let last = &lines[lines.len().saturating_sub(15)..];
                text.push_str(&format!("{name}:\n{}\n", last.join("\n")));
            }
        }
        text
    }
}

impl Drop for Cluster {
    fn drop(&mut self) {
        let conf = format!("SLURM_CONF={}", self.path("slurm.conf").display());
        while self.daemons.pop().is_some() {}
        for id in processes(&[&conf, "SLURM_JOB_ID="]) {
            kill(id);
        }
    }
}

/// A program that `tests/run` fetched, otherwise the system's, also from where its daemons lie.
fn program(name: &str) -> Option<PathBuf> {
    let fetched = outside::fetched(&format!("bin/{name}"));
    let path = std::env::var_os("PATH").unwrap_or_default();
    let mut folders = std::env::split_paths(&path).chain(["/usr/sbin".into(), "/sbin".into()]);
    fetched.or_else(|| {
        folders
            .find(|folder| folder.join(name).is_file())
            .map(|folder| folder.join(name))
    })
}

/// The programs it takes, by name.
fn programs() -> Result<BTreeMap<&'static str, PathBuf>, String> {
    PROGRAMS
        .into_iter()
        .map(|name| match program(name) {
            Some(path) => Ok((name, path)),
            None => Err(outside::missing(&format!("a batch scheduler ({name})"))),
        })
        .collect()
}

/// Whether a scheduler can do without control groups altogether: from 23.11 on. Older ones take them as they
/// find them, and look for them only when a task asks for a limit, if they are given the kind.
fn control_groups(version: &str) -> &'static str {
    let number = version.split_whitespace().last().unwrap_or_default();
    let mut parts = number.split('.').map(|part| part.parse().unwrap_or(0));
    let version: (u32, u32) = (parts.next().unwrap_or(0), parts.next().unwrap_or(0));
    if version >= (23, 11) {
        "CgroupPlugin=disabled\n"
    } else {
        "CgroupPlugin=cgroup/v1\n"
    }
}

fn output(command: &mut Command) -> String {
    let output = command
        .output()
        .unwrap_or_else(|error| panic!("{command:?}: {error}"));
    assert!(output.status.success(), "{command:?}: {output:?}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// Ports that nobody listens on, all different.
fn free_ports(count: usize) -> Vec<u16> {
    let listen = |_| TcpListener::bind("127.0.0.1:0").expect("a port");
    let listeners: Vec<TcpListener> = (0..count).map(listen).collect();
    listeners
        .iter()
        .map(|l| l.local_addr().expect("a port").port())
        .collect()
}

/// Processes whose environment has all of these.
fn processes(wanted: &[&str]) -> Vec<u32> {
    let ids = fs::read_dir("/proc").into_iter().flatten().flatten();
    let ids = ids.filter_map(|entry| entry.file_name().to_str()?.parse::<u32>().ok());
    let has = |id: &u32| {
        let environment = fs::read(format!("/proc/{id}/environ")).unwrap_or_default();
        let words: Vec<&[u8]> = environment.split(|byte| *byte == 0).collect();
        wanted.iter().all(|wanted| {
            let wanted = wanted.as_bytes();
            words
                .iter()
                .any(|word| *word == wanted || wanted.ends_with(b"=") && word.starts_with(wanted))
        })
    };
    ids.filter(|id| *id != std::process::id())
        .filter(has)
        .collect()
}

/// What watches over a task: its parent, if that is the scheduler's.
fn watcher(id: u32) -> Option<u32> {
    let stat = fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
    let parent: u32 = stat
        .rsplit_once(')')?
        .1
        .split_whitespace()
        .nth(1)?
        .parse()
        .ok()?;
    let name = fs::read_to_string(format!("/proc/{parent}/comm")).ok()?;
    name.starts_with("slurmstepd").then_some(parent)
}

fn kill(id: u32) {
    let _ = send(id, Signal::SIGKILL);
}
