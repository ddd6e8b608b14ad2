//! The program: reads the command line, does what it says, and leaves with its exit code.

fn main() -> std::process::ExitCode {
    scullery::cli::run()
}
